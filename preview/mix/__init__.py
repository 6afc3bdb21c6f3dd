"""What mixes look like: Kubelka-Munk, films, whole drops, the painters' circle."""
