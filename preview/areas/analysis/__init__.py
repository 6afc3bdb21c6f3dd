"""Where a surface falls into parts: a metric of creases, what floods in it, what merges."""
