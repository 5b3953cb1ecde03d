"""How many small faults put into the mathematics the tests find: ``make mutation``."""
