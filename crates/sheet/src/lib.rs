//! Schematic, charts and printed sheets: drawing as plain data, then SVG and HTML.
