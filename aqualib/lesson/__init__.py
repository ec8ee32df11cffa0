"""The lessons' workings: charts, panels, exercises and the refresh command."""
