package design

import "spanwright/diag"

// check finds the mistakes that show only when the values are seen together.
func (d *Design) check() diag.List { return nil }
