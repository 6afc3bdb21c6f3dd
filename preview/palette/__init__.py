"""From a rack: the painters' circle, pairs, recipes, and which four pots to take."""
