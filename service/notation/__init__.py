"""The written language of crochet rounds: terms, writer, grammar, reader, counting and checking.

A line is cut into words (``lexer``), recognised (``pattern_line.lark``, ``reader``), kept as a tree
(``tree``), counted (``realizing``) and compared with what it declares (``count_checks``).
The writer goes the other way; what it writes reads back to the same steps.
"""
