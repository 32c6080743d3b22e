"""A wiring as a drawing, in signs and as SVG, beside another one."""
