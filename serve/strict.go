package serve

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
)

// strictly reads one JSON object into a struct that has all its keys. The error
// says which key is wrong and what is wanted, in the words of the caller.
func strictly(raw []byte, out any) error {
	if text := bytes.TrimSpace(raw); len(text) == 0 || text[0] != '{' {
		return errors.New("the body must be a JSON object")
	}
	from := json.NewDecoder(bytes.NewReader(raw))
	from.DisallowUnknownFields()
	if err := from.Decode(out); err != nil {
		return inWords(err)
	}
	if _, err := from.Token(); err != io.EOF {
		return errors.New("the body must be one JSON object, and something follows it")
	}
	return nil
}

// inWords says what is wrong with a body without the names of the program's types.
func inWords(err error) error {
	var kind *json.UnmarshalTypeError
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &kind):
		return fmt.Errorf("%s must be %s, not %s", kind.Field, wanted(kind.Type), kind.Value)
	case errors.As(err, &syntax):
		return fmt.Errorf("the body is no JSON at its byte %d: %s", syntax.Offset, syntax)
	case errors.Is(err, io.ErrUnexpectedEOF):
		return errors.New("the body is no JSON: it ends too early")
	}
	if key, found := strings.CutPrefix(err.Error(), "json: unknown field "); found {
		return fmt.Errorf("this call takes no %s", key)
	}
	return errors.New("the body cannot be read")
}

// wanted is what may stand where a type is read.
func wanted(t reflect.Type) string {
	switch t.Kind() {
	case reflect.String:
		return "a text"
	case reflect.Bool:
		return "true or false"
	case reflect.Int:
		return "a whole number"
	case reflect.Slice:
		return "a list"
	case reflect.Pointer:
		return wanted(t.Elem())
	}
	return "an object"
}
