//! Reads a finished PDF back by an independent route and looks for everything the plan asks; never uses `page` or `pdf`.
