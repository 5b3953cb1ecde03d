"""Runs of a whole set of instances behind nginx, under load and with faults; ``make load`` starts them."""
