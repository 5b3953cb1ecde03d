"""Plans as pictures: geometry in millimetres first, then SVG or PNG. Pure; no files, no clock."""
