package frame

import (
	"fmt"
	"strings"
	"testing"
)

// TestProblems: every mistake of a text is found in one run, and says where it is, what it is and what is allowed.
func TestProblems(t *testing.T) {
	good := `"nodes":[{"id":"n1","at":[0,0,0]},{"id":"n2","at":[1,0,0]}],` + strings.TrimSuffix(stock, ",")
	tests := map[string]struct {
		text string
		want []string // one line each, in order; a line must contain all words between the bars
	}{
		"not JSON":          {`{"nodes":[}`, []string{`1:11|the model|not JSON`}},
		"cut off":           {`{"nodes":[`, []string{`the text ends too early`}},
		"NaN is not JSON":   {"{\"nodes\":[\n {\"id\":\"a\",\"at\":[0,NaN,0]}]}", []string{`2:20|not JSON`}},
		"empty":             {``, []string{`the text ends too early`}},
		"a list":            {`[1,2]`, []string{`a list of 2|an object with nodes`}},
		"two models":        {`{"nodes":[{"id":"a","at":[0,0,0]}]} {}`, []string{`something follows`}},
		"no nodes":          {`{}`, []string{`nodes|empty|at least one`}},
		"deep nesting":      {strings.Repeat(`[`, 100), []string{`nested deeper`}},
		"list is an object": {`{"nodes":{"id":"a"}}`, []string{`nodes|an object|a list is needed`}},
		"key near another":  {`{` + good + `,"suports":[]}`, []string{`suports|did you mean "supports"`}},
		"key far from all":  {`{` + good + `,"zzz":1}`, []string{`zzz|allowed are nodes, sections`}},
		"key given twice":   {`{"nodes":[{"id":"a","at":[0,0,0],"at":[1,0,0]}]}`, []string{`nodes "a"|at|twice`}},
		"remarks are fine":  {`{"comment":"x","nodes":[{"id":"a","at":[0,0,0],"note":[1]}]}`, nil},
		"ids of springs":    {`{` + good + `,"springs":[{"id":"x","from":"n1","to":"n2","k":[1,2,3,4,5,6]}]}`, nil},
		"id missing":        {`{"nodes":[{"at":[0,0,0]}]}`, []string{`nodes #1|id|missing`}},
		"id is a number":    {`{"nodes":[{"id":7,"at":[0,0,0]}]}`, []string{`nodes #1|id|7|a text`}},
		"id used twice":     {`{"nodes":[{"id":"a","at":[0,0,0]},{"id":"a","at":[1,0,0]}]}`, []string{`nodes "a"|twice|#1 and #2`}},
		"short vector":      {`{"nodes":[{"id":"a","at":[0,0]}]}`, []string{`1:26|nodes "a"|at|a list of 2|a list of 3 numbers`}},
		"word in a vector":  {`{"nodes":[{"id":"a","at":[0,"1 m",0]}]}`, []string{`nodes "a"|at[1]|"1 m"|a number`}},
		"null":              {`{"nodes":[{"id":"a","at":null}]}`, []string{`nodes "a"|at|null|a list of 3`}},
		"too large":         {`{"nodes":[{"id":"a","at":[0,1e400,0]}]}`, []string{`nodes "a"|at[1]|1e400|between -1e+30 and 1e+30`}},
		"section without J": {`{"nodes":[{"id":"a","at":[0,0,0]}],"sections":[{"id":"s","A":1,"Iy":1,"Iz":1}]}`, []string{`sections "s"|J|missing`}},
		"negative area":     {`{"nodes":[{"id":"a","at":[0,0,0]}],"sections":[{"id":"s","A":-1,"Iy":1,"Iz":1,"J":1}]}`, []string{`1:62|sections "s"|A|-1|above 0`}},
		"unknown section": {`{` + good + `,"members":[{"id":"b","from":"n1","to":"n2","section":"dep","material":"m"}]}`,
			[]string{`members "b"|section|"dep"|not in sections|did you mean "deep"`}},
		"unknown node and material": {`{` + good + `,"members":[{"id":"b","from":"n1","to":"n3","section":"s","material":"steel"}]}`,
			[]string{`members "b"|to|"n3"|not in nodes|did you mean "n1"`, `members "b"|material|"steel"|not in materials`}},
		"member without length": {`{"nodes":[{"id":"a","at":[1,1,1]},{"id":"b","at":[1,1,1]}],` + stock + `"members":[{"id":"m1","from":"a","to":"b","section":"s","material":"m"}]}`,
			[]string{`members "m1"|to|"b"|lies 0 m from "a"|above`}},
		"member to itself": {`{` + good + `,"members":[{"id":"b","from":"n1","to":"n1","section":"s","material":"m"}]}`, []string{`members "b"|to|two different nodes`}},
		"divide by half":   {`{` + good + `,"members":[{"id":"b","from":"n1","to":"n2","section":"s","material":"m","divide":1.5}]}`, []string{`members "b"|divide|1.5|whole number from 1 to 1000`}},
		"bad end":          {`{` + good + `,"members":[{"id":"b","from":"n1","to":"n2","section":"s","material":"m","ends":{"from":{"ry":"loose"},"too":{}}}]}`, []string{`ends.from.ry|"loose"|"free" or a stiffness`, `ends.too|did you mean "to"`}},
		"translation freed": {`{` + good + `,"members":[{"id":"b","from":"n1","to":"n2","section":"s","material":"m","ends":{"from":{"ux":"free"}}}]}`,
			[]string{`members "b"|ends.from.ux|not a key|did you mean "rx"`}},
		"unknown freedom":       {`{` + good + `,"supports":[{"node":"n1","fix":["ux","tx"]}]}`, []string{`supports #1|fix[1]|"tx"|"ux", "uy"`}},
		"support of nothing":    {`{` + good + `,"supports":[{"node":"n9","fix":["ux"]}]}`, []string{`supports #1|node|"n9"|not in nodes`}},
		"negative spring":       {`{` + good + `,"springs":[{"from":"n1","to":"ground","k":[1,-2,0,0,0,0]}]}`, []string{`springs #1|k[1]|-2|at least 0`}},
		"five stiffnesses":      {`{` + good + `,"springs":[{"from":"n1","to":"n2","k":[1,2,3,4,5]}]}`, []string{`springs #1|k|a list of 5|a list of 6 numbers`}},
		"spring from ground":    {`{` + good + `,"springs":[{"from":"ground","to":"n2","k":[1,2,3,4,5,6]}]}`, []string{`springs #1|from|"ground"|not in nodes`}},
		"node called ground":    {`{"nodes":[{"id":"ground","at":[0,0,0]}],"springs":[{"from":"ground","to":"ground","k":[1,2,3,4,5,6]}]}`, []string{`springs #1|to|both a node and the ground`}},
		"mass without m":        {`{` + good + `,"masses":[{"node":"n1"}]}`, []string{`masses #1|m|missing`}},
		"negative inertia":      {`{` + good + `,"masses":[{"node":"n1","m":1,"inertia":[1,-1,1]}]}`, []string{`masses #1|inertia[1]|-1|at least 0`}},
		"load without case":     {`{` + good + `,"loads":[{"node":"n1","force":[0,0,1]}]}`, []string{`loads #1|case|missing`}},
		"load of nothing":       {`{` + good + `,"loads":[{"case":"c"}]}`, []string{`loads #1|no load`}},
		"load without force":    {`{` + good + `,"loads":[{"case":"c","node":"n1"}]}`, []string{`loads #1|force|missing`}},
		"load on unknown node":  {`{` + good + `,"loads":[{"case":"c","node":"n1","force":[0,0,1]},{"case":"c","node":"n7","force":[0,0,1]}]}`, []string{`loads #2|node|"n7"|not in nodes`}},
		"load with two kinds":   {`{` + good + `,"loads":[{"case":"c","node":"n1","gravity":[0,0,1]}]}`, []string{`loads #1|node|not a key`}},
		"axes of a load":        {`{` + good + `,"members":[{"id":"b","from":"n1","to":"n2","section":"s","material":"m"}],"loads":[{"case":"c","member":"b","per_length":[0,0,1],"axes":"body"}]}`, []string{`loads #1|axes|"body"|"local" or "global"`}},
		"half a mode":           {`{` + good + `,"modes":2.5}`, []string{`modes|2.5|whole number`}},
		"a million modes":       {`{` + good + `,"modes":1000000}`, []string{`modes|1000000|whole number from 0 to 5000`}},
		"too many nodes in all": {`{` + good + `,"members":[` + manyMembers(201) + `]}`, []string{`nodes|200801|at most 200000`}},
		"all mistakes in one run": {`{"nodes":[{"id":"a","at":[0,0]},{"id":"b","at":[1,0,0]}],"sections":[{"id":"s","A":0,"Iy":1,"Iz":1,"J":1}],"materials":[{"id":"m","E":-1,"G":1}],
			"members":[{"id":"1","from":"a","to":"x","section":"s","material":"m"}],"supports":[{"node":"q","fix":["ux"]}],"modes":-1}`,
			[]string{`nodes "a"|at`, `sections "s"|A`, `materials "m"|E`, `members "1"|to|"x"`, `supports #1|node|"q"`, `modes`}},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			m, problems := ReadJSON(strings.NewReader(tt.text))
			if (m == nil) != (len(problems) > 0) {
				t.Fatalf("model %v with problems %v", m, problems)
			}
			if len(problems) != len(tt.want) {
				t.Fatalf("%d problems, want %d:\n%v", len(problems), len(tt.want), problems)
			}
			for i, p := range problems {
				for _, word := range strings.Split(tt.want[i], "|") {
					if !strings.Contains(p.Error(), word) {
						t.Errorf("problem %d lacks %q: %v", i, word, p)
					}
				}
			}
		})
	}
}

// manyMembers lists members of 1000 elements each.
func manyMembers(n int) string {
	var list []string
	for i := range n {
		list = append(list, fmt.Sprintf(`{"id":"b%d","from":"n1","to":"n2","section":"s","material":"m","divide":1000}`, i))
	}
	return strings.Join(list, ",")
}

// FuzzReadJSON: no text makes the reader panic or say nothing, and no model that it accepts makes the solver panic.
func FuzzReadJSON(f *testing.F) {
	f.Add([]byte(cantilever))
	f.Add([]byte(`{"nodes":[{"id":"a","at":[0,0,0]}],"springs":[{"from":"a","to":"ground","k":[1,1,1,1,1,1]}],"masses":[{"node":"a","m":1}],"loads":[{"case":"c","gravity":[0,0,-1]}],"modes":3}`))
	f.Add([]byte(`{"nodes":[{"id":"a","at":[0,1e400,0]}],"loads":[{"case":1}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		m, problems := ReadJSON(strings.NewReader(string(text)))
		if m == nil && len(problems) == 0 || problems.Error() == "" && m == nil {
			t.Fatal("refused without a word")
		}
		if m == nil || len(m.Members) > 20 || len(m.Nodes) > 20 {
			return
		}
		for i := range m.Members {
			m.Members[i].Divide = min(m.Members[i].Divide, 4)
		}
		m.Modes = min(m.Modes, 4)
		if a, err := Solve(m); err == nil {
			if _, err := a.MarshalJSON(); err != nil {
				t.Fatal(err)
			}
		}
	})
}
