package mathml

// expression is a formula as a tree.
type expression struct {
	op   string // "number", "name", "call", "group", "negative", or + - * / ^
	text string // of a number or name; the function of a call
	in   []*expression
}

// deepest is how far formulas may be nested: more is no formula that people read.
const deepest = 100

// parse reads a chain of equations into its sides.
func parse(text string) (sides []*expression, ok bool) {
	tokens, ok := scan(text)
	if !ok {
		return nil, false
	}
	p := &parser{tokens: tokens}
	for {
		sides = append(sides, p.sum(0))
		if !p.take("=") {
			break
		}
	}
	return sides, !p.failed && p.at == len(tokens)
}

// parser goes through tokens. After a failure it yields empty expressions.
type parser struct {
	tokens []token
	at     int
	failed bool
}

func (p *parser) peek() token {
	if p.failed || p.at >= len(p.tokens) {
		return token{}
	}
	return p.tokens[p.at]
}

// take passes over a sign if it comes next.
func (p *parser) take(text string) bool {
	if t := p.peek(); t.kind == sign && t.text == text {
		p.at++
		return true
	}
	return false
}

func (p *parser) fail() *expression {
	p.failed = true
	return &expression{}
}

func (p *parser) sum(depth int) *expression {
	e := p.product(depth)
	for {
		switch {
		case p.take("+"):
			e = &expression{op: "+", in: []*expression{e, p.product(depth)}}
		case p.take("-"):
			e = &expression{op: "-", in: []*expression{e, p.product(depth)}}
		default:
			return e
		}
	}
}

func (p *parser) product(depth int) *expression {
	e := p.power(depth)
	for {
		switch {
		case p.take("*"):
			e = &expression{op: "*", in: []*expression{e, p.power(depth)}}
		case p.take("/"):
			e = &expression{op: "/", in: []*expression{e, p.power(depth)}}
		default:
			return e
		}
	}
}

func (p *parser) power(depth int) *expression {
	if depth++; depth > deepest {
		return p.fail()
	}
	if p.take("-") {
		return &expression{op: "negative", in: []*expression{p.power(depth)}}
	}
	e := p.operand(depth)
	if p.take("^") {
		e = &expression{op: "^", in: []*expression{e, p.power(depth)}}
	}
	return e
}

func (p *parser) operand(depth int) *expression {
	t := p.peek()
	switch {
	case t.kind == number:
		p.at++
		return &expression{op: "number", text: t.text}
	case t.kind == word:
		p.at++
		if p.take("(") {
			return p.call(t.text, depth)
		}
		return &expression{op: "name", text: t.text}
	case p.take("("):
		e := &expression{op: "group", in: []*expression{p.sum(depth)}}
		if !p.take(")") {
			return p.fail()
		}
		return e
	}
	return p.fail()
}

// call reads the arguments of a function.
func (p *parser) call(name string, depth int) *expression {
	e := &expression{op: "call", text: name}
	for {
		e.in = append(e.in, p.sum(depth))
		switch {
		case p.take(","):
		case p.take(")"):
			return e
		default:
			return p.fail()
		}
	}
}
