"""The arithmetic of crocheted hats: pure functions, frozen values, the standard library only.

Lengths are millimetres, counts are exact integers, and nothing here knows HTTP, files or a clock.
"""
