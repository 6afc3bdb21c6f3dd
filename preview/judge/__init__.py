"""Whether neighbouring areas read at the table."""
