"""Plans as sheets to print: built once as a value, then rendered as Markdown, HTML or PDF."""
