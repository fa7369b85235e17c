package verification

import "fmt"

// Values are the named inputs or results of a case, as JSON has them: numbers,
// words, booleans, lists and nested values. Models may also put ints, []float64,
// []Values and the like into results.
//
// The accessors are for models, which know what a case holds: a key that is
// missing or of another kind stops the model, and Model.Run reports it.
type Values map[string]any

// missingInput says which key a model asked for in vain, and what it needed.
type missingInput string

func (v Values) lacks(key, kind string) missingInput {
	got, ok := v[key]
	if !ok {
		return missingInput(fmt.Sprintf("%q is missing; %s is needed", key, kind))
	}
	return missingInput(fmt.Sprintf("%q is %v; %s is needed", key, got, kind))
}

// Has tells whether the key is there and not null.
func (v Values) Has(key string) bool { return v[key] != nil }

// Num returns a number.
func (v Values) Num(key string) float64 {
	x, ok := v[key].(float64)
	if !ok {
		panic(v.lacks(key, "a number"))
	}
	return x
}

// Nums returns a list of numbers.
func (v Values) Nums(key string) []float64 {
	list, ok := v[key].([]any)
	if !ok {
		panic(v.lacks(key, "a list of numbers"))
	}
	return v.numbers(key, list)
}

// Rows returns a list of lists of numbers.
func (v Values) Rows(key string) [][]float64 {
	list, ok := v[key].([]any)
	if !ok {
		panic(v.lacks(key, "a list of lists of numbers"))
	}
	rows := make([][]float64, len(list))
	for i, item := range list {
		row, ok := item.([]any)
		if !ok {
			panic(v.lacks(key, "a list of lists of numbers"))
		}
		rows[i] = v.numbers(key, row)
	}
	return rows
}

func (v Values) numbers(key string, list []any) []float64 {
	out := make([]float64, len(list))
	for i, item := range list {
		x, ok := item.(float64)
		if !ok {
			panic(v.lacks(key, "a list of numbers"))
		}
		out[i] = x
	}
	return out
}

// Text returns a word.
func (v Values) Text(key string) string {
	s, ok := v[key].(string)
	if !ok {
		panic(v.lacks(key, "a word"))
	}
	return s
}

// Texts returns a list of words.
func (v Values) Texts(key string) []string {
	list, ok := v[key].([]any)
	if !ok {
		panic(v.lacks(key, "a list of words"))
	}
	out := make([]string, len(list))
	for i, item := range list {
		s, ok := item.(string)
		if !ok {
			panic(v.lacks(key, "a list of words"))
		}
		out[i] = s
	}
	return out
}

// Bool returns a yes or no.
func (v Values) Bool(key string) bool {
	b, ok := v[key].(bool)
	if !ok {
		panic(v.lacks(key, "true or false"))
	}
	return b
}

// Values returns nested values.
func (v Values) Values(key string) Values {
	m, ok := v[key].(map[string]any)
	if !ok {
		panic(v.lacks(key, "a group of values"))
	}
	return m
}

// List returns a list of nested values.
func (v Values) List(key string) []Values {
	list, ok := v[key].([]any)
	if !ok {
		panic(v.lacks(key, "a list of groups of values"))
	}
	out := make([]Values, len(list))
	for i, item := range list {
		m, ok := item.(map[string]any)
		if !ok {
			panic(v.lacks(key, "a list of groups of values"))
		}
		out[i] = m
	}
	return out
}
