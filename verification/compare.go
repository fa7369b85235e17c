package verification

import (
	"fmt"
	"math"
	"reflect"
	"sort"
	"strings"
)

// Row is the comparison of one value.
type Row struct {
	Key     string // result key, with [i] and .name for list elements and nested values
	Want    any    // number, word, boolean or null
	Got     any    // the same kinds; nil with Missing
	Missing bool   // the model returned no such value
	Allowed float64
	OK      bool
}

// zeroTolerance judges an expected 0 in the files drives and equipment where
// the case states nothing itself; unit of the key.
const zeroTolerance = 1e-9

// structureTolerance is added to the relative part in the file structure where
// the case states nothing itself; unit of the key.
const structureTolerance = 1e-12

// allowed returns the largest |got - want| for a key.
//
// In the file structure it is tol_rel |want| + abs_tol. In the others it is
// tol_rel |want|, and where want is 0 the value of the key abs_tol_UNIT, UNIT
// being the ending of the compared key.
func (c Case) allowed(key string, want float64) float64 {
	relative := c.TolRel * math.Abs(want)
	if c.File == "structure" {
		if c.AbsTol > 0 {
			return relative + c.AbsTol
		}
		return relative + structureTolerance
	}
	if want != 0 {
		return relative
	}
	for k, v := range c.Expected {
		unit, isTolerance := strings.CutPrefix(k, "abs_tol_")
		if x, isNumber := v.(float64); isTolerance && isNumber && strings.HasSuffix(key, "_"+unit) {
			return x
		}
	}
	return zeroTolerance
}

// Compare judges every result of the case against what the model returned, in
// the order of the keys. A missing value, NaN, a list of another length and a
// nested value with a key too many are all failures.
func (c Case) Compare(got Values) []Row {
	var rows []Row
	for _, key := range c.Results() {
		value, ok := got[key]
		if !ok {
			rows = append(rows, Row{Key: key, Want: plain(c.Expected[key]), Missing: true})
			continue
		}
		rows = c.compare(rows, key, key, plain(c.Expected[key]), plain(value))
	}
	return rows
}

// compare appends the rows of one value; key is the result key whose unit
// holds, path the place in it.
func (c Case) compare(rows []Row, key, path string, want, got any) []Row {
	switch want := want.(type) {
	case float64:
		allowed := c.allowed(key, want)
		x, ok := got.(float64)
		return append(rows, Row{Key: path, Want: want, Got: got, Allowed: allowed,
			OK: ok && math.Abs(x-want) <= allowed})
	case []any:
		list, ok := got.([]any)
		if !ok || len(list) != len(want) {
			return append(rows, Row{Key: path, Want: want, Got: got})
		}
		for i := range want {
			rows = c.compare(rows, key, fmt.Sprintf("%s[%d]", path, i), want[i], list[i])
		}
		return rows
	case map[string]any:
		group, ok := got.(map[string]any)
		if !ok || len(group) != len(want) {
			return append(rows, Row{Key: path, Want: want, Got: got})
		}
		for _, k := range sortedKeys(want) {
			value, ok := group[k]
			if !ok {
				rows = append(rows, Row{Key: path + "." + k, Want: want[k], Missing: true})
				continue
			}
			rows = c.compare(rows, k, path+"."+k, want[k], value)
		}
		return rows
	default: // word, boolean, null
		return append(rows, Row{Key: path, Want: want, Got: got, OK: want == got})
	}
}

// plain turns what models may return into what JSON has: float64, string, bool,
// nil, []any and map[string]any. Anything else stays and equals nothing.
func plain(x any) any {
	v := reflect.ValueOf(x)
	switch v.Kind() {
	case reflect.Float64, reflect.Float32:
		return v.Float()
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return float64(v.Int())
	case reflect.Bool:
		return v.Bool()
	case reflect.String:
		return v.String()
	case reflect.Slice, reflect.Array:
		list := make([]any, v.Len())
		for i := range list {
			list[i] = plain(v.Index(i).Interface())
		}
		return list
	case reflect.Map:
		if v.Type().Key().Kind() != reflect.String {
			return x
		}
		group := make(map[string]any, v.Len())
		for _, k := range v.MapKeys() {
			group[k.String()] = plain(v.MapIndex(k).Interface())
		}
		return group
	default:
		return x
	}
}

func sortedKeys(m map[string]any) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
