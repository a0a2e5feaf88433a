package feature

import (
	"strings"

	"haulm/lang/derive"
	"haulm/lang/eval"
	"haulm/lang/farm"
	"haulm/lang/plan"
	"haulm/stdlib/quantity"
)

// What begins the key of a Completion's documentation, so that the long text is made only when asked for.
const (
	keyBuiltin  = "builtin:"
	keyArgument = "argument:"
	keyUnit     = "unit:"
	keyCrop     = "crop:"
	keyModule   = "module:"
	keyAttr     = "field:"
	keyCode     = "code:"
	keyName     = "name:"
)

func argumentKey(b *eval.Builtin, p *eval.Param) string {
	if b == nil {
		return ""
	}
	return keyArgument + b.Name + "." + p.Name
}

// nameKey is the key of a name bound at the top of a file; those inside functions have nothing to add.
func (c *completer) nameKey(b *binding) string {
	if c.names.top.named(b.name) != b {
		return ""
	}
	return keyName + b.name
}

// Document gives the long documentation of a Completion by its key, in Markdown; "" when there is none.
func (d *Doc) Document(key string) string {
	what, name, _ := strings.Cut(key, ":")
	switch what + ":" {
	case keyBuiltin:
		if b := builtinNamed(name); b != nil {
			return builtinText(b)
		}
	case keyArgument:
		of, param, _ := strings.Cut(name, ".")
		for _, b := range eval.Builtins() {
			if p := b.Param(param); b.Name == of && p != nil {
				return paramText(p, d.units())
			}
		}
	case keyUnit:
		if u, ok := quantity.UnitNamed(name); ok {
			return unitText(u)
		}
	case keyCrop:
		if c := cropOf(name); c != nil {
			return cropText(c, d.units())
		}
	case keyModule:
		return d.moduleText(name)
	case keyAttr:
		return attrText(name)
	case keyCode:
		for _, r := range plan.Rules() {
			if r.Code == name {
				return ruleText(r)
			}
		}
	case keyName:
		return d.nameText(name)
	}
	return ""
}

func attrText(name string) string {
	of, attr, _ := strings.Cut(name, ".")
	for _, h := range eval.Handles() {
		for _, a := range h.Attrs {
			if h.Name == of && a.Name == attr {
				return "`" + attr + "`: " + a.Type + ". " + sentence(a.Doc)
			}
		}
	}
	return ""
}

// nameText tells what a name of the file's top stands for.
func (d *Doc) nameText(name string) string {
	n := &names{doc: d, own: newNameTable(), top: d.topOf(d.File.Path)}
	m := n.meaning(name)
	if text := d.thingsText(n.things(name), true); text != "" {
		return text
	}
	if m.crop != nil {
		return cropText(m.crop, d.units())
	}
	return d.functionText(m)
}

// declaredName is the name that a declaration gave a thing, "" for none.
func (t Thing) declaredName() string {
	switch of := t.Of.(type) {
	case *farm.Farm:
		return of.Name.Value
	case *farm.Plot:
		return of.Name.Value
	case *farm.Row:
		return of.Name.Value
	case *farm.Zone:
		return of.Name.Value
	case *farm.Tray:
		return derive.TrayName(of)
	case *farm.Nursery:
		return of.Name.Value
	case *farm.Protectant:
		return of.Name.Value
	case *farm.WaterSource:
		return of.Name.Value
	case *farm.Crop:
		return of.Title()
	case *farm.Planting:
		return of.Crop.Title()
	case *farm.Product:
		return of.Name.Value
	case *farm.Measure:
		return of.Name.Value
	}
	return ""
}
