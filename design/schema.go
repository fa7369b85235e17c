package design

import "spanwright/decode"

// heading names the schema and the reference page.
var heading = decode.Heading{
	ID:    "urn:spanwright:design:1",
	Title: "The design file",
	Doc: "One YAML file holds the task and the machine. Numbers carry their unit (`1.8 m`, `12 kg`, `1.5 g`); " +
		"a bare number where a unit is needed is a mistake, and so is an unknown key. Axes, points, nodes and members are named by you. " +
		"Files are UTF-8 with spaces for indentation; aliases, anchors, merge keys, tags and tabs are not read.",
}

// Schema returns the JSON Schema (draft 2020-12) of the design file, for editors.
func Schema() ([]byte, error) { return decode.Schema(decode.Describe(Design{}), heading) }

// Reference returns the reference page of the design file in Markdown.
func Reference() []byte { return decode.Reference(decode.Describe(Design{}), heading) }
