package userrules

import (
	"errors"
	"fmt"
	"reflect"
	"regexp/syntax"
	"slices"
	"strings"
	"sync"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
	"github.com/expr-lang/expr/types"
	"github.com/expr-lang/expr/vm"
)

// Bounds on one condition.
const (
	MaxCondition = 4096 // bytes
	maxNodes     = 300  // facts, constants, operators and calls
	maxDepth     = 40
	maxPattern   = 500 // steps of all compiled patterns together
	memoryBudget = 1 << 16
)

// Functions lists what a condition may call.
var Functions = []string{"abs", "ceil", "floor", "len", "lower", "round", "trim", "upper"}

// operators lists what may stand between two values.
var operators = []string{"&&", "and", "||", "or", "==", "!=", "<", "<=", ">", ">=", "+", "-", "*", "/",
	"in", "contains", "startsWith", "endsWith", "matches"}

// condition is a compiled condition.
type condition struct {
	program *vm.Program
	uses    []int // numbers of the facts named, in the order of first mention
}

// mistake is what is wrong with a condition, at a rune of it.
type mistake struct {
	at     int
	reason string
}

func (m mistake) Error() string { return m.reason }

// compile checks a condition and makes it ready to run. An error is a mistake.
func compile(text string) (*condition, error) {
	if len(text) > MaxCondition {
		return nil, mistake{0, fmt.Sprintf("the condition is longer than %d bytes", MaxCondition)}
	}
	opts := options()
	config := conf.CreateNew()
	for _, set := range opts {
		set(config)
	}
	for name := range config.Disabled {
		delete(config.Builtins, name)
	}
	tree, err := parser.ParseWithConfig(text, config)
	if err != nil {
		return nil, mistakeOf(err)
	}
	c := checker{}
	c.check(tree.Node, 0)
	if c.mistake != nil {
		return nil, *c.mistake
	}
	if len(c.uses) == 0 {
		return nil, mistake{0, "the condition names no fact"}
	}
	program, err := expr.Compile(text, opts...)
	if err != nil {
		return nil, mistakeOf(err)
	}
	joined := joins{}
	node := program.Node()
	ast.Walk(&node, &joined)
	if joined.mistake != nil {
		return nil, *joined.mistake
	}
	return &condition{program: program, uses: c.uses}, nil
}

// environment is the types of all facts, made from the table.
var environment = func() types.Map {
	m := types.Map{}
	for i := range Facts {
		m[Facts[i].Name] = types.TypeOf(sample[Facts[i].Type])
	}
	return m
}()

// sample holds a Go value of each type.
var sample = map[Type]any{Text: "", Number: 0.0, YesNo: false, Words: []string(nil)}

func options() []expr.Option {
	list := []expr.Option{expr.Env(environment), expr.AsBool(), expr.DisableAllBuiltins(), expr.DisableIfOperator(),
		expr.MaxNodes(maxNodes), expr.Optimize(true), expr.Patch(flatten{}),
		expr.Function(divide, quotient, new(func(float64, float64) float64), new(func(float64, int) float64),
			new(func(int, float64) float64), new(func(int, int) float64)),
		expr.Operator("/", divide)}
	for _, name := range Functions {
		list = append(list, expr.EnableBuiltin(name))
	}
	return list
}

// divide is the function behind '/', which unlike the language's own division
// fails on a divisor of 0 instead of giving an infinite number.
const divide = "divide"

var errDivision = errors.New("division by 0")

func quotient(args ...any) (any, error) {
	a, b := asFloat(args[0]), asFloat(args[1])
	if b == 0 {
		return nil, errDivision
	}
	return a / b, nil
}

func asFloat(x any) float64 {
	if i, ok := x.(int); ok {
		return float64(i)
	}
	f, _ := x.(float64)
	return f
}

// flatten replaces price.ratio, a member of price, by a variable of that name.
type flatten struct{}

func (flatten) Visit(node *ast.Node) {
	if name, ok := factName(*node); ok {
		ast.Patch(node, &ast.IdentifierNode{Value: name})
	}
}

func factName(node ast.Node) (string, bool) {
	m, ok := node.(*ast.MemberNode)
	if !ok || m.Optional || m.Method {
		return "", false
	}
	group, ok := m.Node.(*ast.IdentifierNode)
	name, named := m.Property.(*ast.StringNode)
	if !ok || !named {
		return "", false
	}
	return group.Value + "." + name.Value, true
}

var noFunction = "there is no such function; the functions are " + strings.Join(Functions, ", ")

// checker allows what is documented and refuses the rest of the language:
// loops, calls by name, variables, ranges, and with them whatever costs more
// than its length.
type checker struct {
	uses    []int
	pattern int // steps of the patterns so far
	mistake *mistake
}

func (c *checker) fail(n ast.Node, format string, args ...any) {
	if c.mistake == nil {
		c.mistake = &mistake{n.Location().From, fmt.Sprintf(format, args...)}
	}
}

func (c *checker) check(node ast.Node, depth int) {
	if depth > maxDepth {
		c.fail(node, "the condition is nested deeper than %d levels", maxDepth)
		return
	}
	if name, ok := factName(node); ok {
		c.use(node.(*ast.MemberNode).Node, name)
		return
	}
	switch n := node.(type) {
	case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode:
	case *ast.UnaryNode:
		c.check(n.Node, depth+1)
	case *ast.BinaryNode:
		c.binary(n, depth)
	case *ast.BuiltinNode:
		if !slices.Contains(Functions, n.Name) {
			c.fail(n, "%s", noFunction)
			return
		}
		for _, a := range n.Arguments {
			c.check(a, depth+1)
		}
	case *ast.CallNode:
		c.fail(n, "%s", noFunction)
	case *ast.ArrayNode:
		c.fail(n, "a list may stand behind 'in' only")
	case *ast.IdentifierNode:
		c.fail(n, "no fact is called %q; `counterfoil rules --facts` lists them", n.Value)
	case *ast.NilNode:
		c.fail(n, "an unknown fact cannot be asked for: a rule that names one is not assessed")
	case *ast.ConditionalNode:
		c.fail(n, "'?' is not part of the language; use 'and' and 'or'")
	default:
		c.fail(n, "this is not part of the language of conditions")
	}
}

func (c *checker) use(at ast.Node, name string) {
	i, ok := factByName[name]
	if !ok {
		group, _, _ := strings.Cut(name, ".")
		c.fail(at, "no fact is called %q; %s", name, namesOf(group))
		return
	}
	if !slices.Contains(c.uses, i) {
		c.uses = append(c.uses, i)
	}
}

// namesOf lists the facts of a group, or the groups.
func namesOf(group string) string {
	var names, groups []string
	for i := range Facts {
		g, name, _ := strings.Cut(Facts[i].Name, ".")
		if g == group {
			names = append(names, name)
		}
		if !slices.Contains(groups, g) {
			groups = append(groups, g)
		}
	}
	if len(names) == 0 {
		return "the groups are " + strings.Join(groups, ", ")
	}
	return "those of " + group + " are " + strings.Join(names, ", ")
}

func (c *checker) binary(n *ast.BinaryNode, depth int) {
	if !slices.Contains(operators, n.Operator) {
		c.fail(n, "%q is not part of the language; the operators are %s, not and !", n.Operator, strings.Join(operators, ", "))
		return
	}
	c.check(n.Left, depth+1)
	switch right := n.Right.(type) {
	case *ast.ArrayNode:
		if n.Operator != "in" {
			break
		}
		for _, e := range right.Nodes {
			if _, ok := e.(*ast.StringNode); !ok {
				c.fail(e, "a list holds texts only, such as [\"new\", \"used\"]")
			}
		}
		return
	case *ast.StringNode:
		if n.Operator == "matches" {
			c.match(right)
		}
		return
	case *ast.IntegerNode:
		if n.Operator == "/" && right.Value == 0 {
			c.fail(right, "a division by 0")
		}
		return
	default:
		if n.Operator == "matches" {
			c.fail(right, "a pattern is written out, such as matches \"(?i)copy\"")
			return
		}
	}
	c.check(n.Right, depth+1)
}

// match checks a pattern and counts its steps.
func (c *checker) match(n *ast.StringNode) {
	re, err := syntax.Parse(n.Value, syntax.Perl)
	if err != nil {
		c.fail(n, "%v", err)
		return
	}
	prog, err := syntax.Compile(re.Simplify())
	if err != nil {
		c.fail(n, "%v", err)
		return
	}
	if c.pattern += len(prog.Inst); c.pattern > maxPattern {
		c.fail(n, "the patterns of the condition are too large: %d steps, at most %d", c.pattern, maxPattern)
	}
}

// joins refuses to join texts: a chain of it would cost the square of its
// length.
type joins struct{ mistake *mistake }

func (j *joins) Visit(node *ast.Node) {
	if b, ok := (*node).(*ast.BinaryNode); ok && b.Operator == "+" && b.Type().Kind() == reflect.String && j.mistake == nil {
		j.mistake = &mistake{b.Location().From, "texts cannot be joined"}
	}
}

func mistakeOf(err error) error {
	var located *file.Error
	if errors.As(err, &located) {
		return mistake{located.From, inWords(located.Message)}
	}
	reason, _, _ := strings.Cut(err.Error(), "\n")
	return mistake{0, inWords(reason)}
}

// goNames turns the library's words into those of the table of facts.
var goNames = strings.NewReplacer("unexpected token EOF", "the condition ends too early",
	"[]string", "list of texts", "float64", "number", "string", "text", "bool", "yes or no", "type int", "type number",
	"types int", "types number", "and int", "and number", "cannot use int", "cannot use number")

func inWords(message string) string {
	head, _, _ := strings.Cut(message, ": strconv.")
	return lowerFirst(strings.TrimSpace(goNames.Replace(head)))
}

func lowerFirst(s string) string {
	if len(s) > 0 && s[0] >= 'A' && s[0] <= 'Z' {
		return string(s[0]+'a'-'A') + s[1:]
	}
	return s
}

var machines = sync.Pool{New: func() any { return &vm.VM{MemoryBudget: memoryBudget} }}

// holds runs the condition. values holds the facts it names, by name. It fails
// only on a division by 0.
func (c *condition) holds(values map[string]any) (bool, error) {
	machine := machines.Get().(*vm.VM)
	defer machines.Put(machine)
	result, err := machine.Run(c.program, values)
	if err != nil {
		return false, err
	}
	yes, _ := result.(bool)
	return yes, nil
}
