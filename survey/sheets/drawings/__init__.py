"""One module a drawing; each takes results and draws on a figure it is given."""
