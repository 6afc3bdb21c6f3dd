"""The small text file in which a painter names areas, and what it makes of a mesh."""
