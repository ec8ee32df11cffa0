"""The lessons' workings: charts, panels, questions in the page and the refresh command."""
