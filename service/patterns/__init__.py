"""The one place where plans meet the written language."""
