"""The water: its properties, oxygen, ammonia, nitrogen and carbonate chemistry."""
