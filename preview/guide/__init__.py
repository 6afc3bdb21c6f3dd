"""What a painter takes to the desk: how much of every mix, in which order, on paper."""
