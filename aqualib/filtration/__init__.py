"""The filter: media, flow, capture and treatment."""
