package eval

import (
	"fmt"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

// Handle is a kind of value that declarations give back, with what a plan can read of it.
type Handle struct {
	Name    string
	Summary string
	Attrs   []Attr
}

// Attr is one thing to read of a handle: here.last_frost.
type Attr struct {
	Name, Doc string
	Type      string // "a date"

	get func(ev *evaluator, of any) starlark.Value
}

// Handles lists the kinds in the order of the reference.
func Handles() []*Handle {
	return []*Handle{
		farmHandle, siteHandle, climateHandle, weatherHandle, crewHandle, plotHandle, soilHandle, soilTestHandle,
		rowHandle, historyHandle, previousHandle, cropHandle, plantingHandle, trayHandle, potHandle, nurseryHandle,
		trellisHandle, protectantHandle, protectHandle,
		taskHandle, priceHandle, wantHandle,
		fertilizerHandle, amendmentHandle, measureHandle, feedHandle, needHandle, creditHandle, stockHandle,
		recordHandle, recordFileHandle,
		sourceHandle, tapeHandle, pipeHandle, zoneHandle,
	}
}

// handleValue is a handle as the plan holds it.
type handleValue struct {
	kind *Handle
	of   any // *farm.Plot, *farm.Row, ...
	ev   *evaluator
}

var _ starlark.HasAttrs = (*handleValue)(nil)

func (ev *evaluator) handle(kind *Handle, of any) *handleValue { return &handleValue{kind, of, ev} }

func (h *handleValue) Type() string         { return h.kind.Name }
func (h *handleValue) Freeze()              {}
func (h *handleValue) Truth() starlark.Bool { return true }

// Hash is refused: a handle is no key, its name is.
func (h *handleValue) Hash() (uint32, error) {
	return 0, fmt.Errorf("%s cannot be a key; use its name", article(h.kind.Name))
}

func (h *handleValue) String() string {
	if name, err := h.Attr("name"); err == nil && name != nil {
		return h.kind.Name + " " + name.String()
	}
	return h.kind.Name
}

func (h *handleValue) AttrNames() []string {
	names := make([]string, len(h.kind.Attrs))
	for i, a := range h.kind.Attrs {
		names[i] = a.Name
	}
	slices.Sort(names)
	return names
}

// Attr gives nil, which Starlark reports, for a name that the handle does not have.
func (h *handleValue) Attr(name string) (starlark.Value, error) {
	for i := range h.kind.Attrs {
		if h.kind.Attrs[i].Name == name {
			return h.kind.Attrs[i].get(h.ev, h.of), nil
		}
	}
	return nil, nil
}

// attr reads one thing of a T.
func attr[T any](name, typ, doc string, get func(ev *evaluator, of T) starlark.Value) Attr {
	return Attr{Name: name, Type: typ, Doc: doc, get: func(ev *evaluator, of any) starlark.Value {
		return get(ev, of.(T))
	}}
}

func (ev *evaluator) measured(f farm.Field[quantity.Quantity]) starlark.Value {
	return quantityValue{f.Value, ev}
}

var productName = attr("name", "text", "what it is called", func(_ *evaluator, p *farm.Product) starlark.Value {
	return starlark.String(p.Name.Value)
})

var (
	farmHandle = &Handle{Name: "farm", Summary: "the farm of the plan", Attrs: []Attr{
		attr("name", "text", "what it is called", func(_ *evaluator, f *farm.Farm) starlark.Value {
			return starlark.String(f.Name.Value)
		}),
		attr("year", "a whole number", "the year of the season", func(_ *evaluator, f *farm.Farm) starlark.Value {
			return starlark.MakeInt(f.Year.Value)
		}),
	}}
	siteHandle = &Handle{Name: "site", Summary: "a place with its frosts", Attrs: []Attr{
		attr("last_frost", "a date", "average last frost before the season", func(ev *evaluator, s *farm.Site) starlark.Value {
			return dateValue{s.LastFrost.Value, ev, &Frost{Site: s}}
		}),
		attr("first_frost", "a date", "average first frost after the season", func(ev *evaluator, s *farm.Site) starlark.Value {
			return dateValue{s.FirstFrost.Value, ev, &Frost{Site: s, First: true}}
		}),
		attr("latitude", "a number", "degrees, north positive", func(_ *evaluator, s *farm.Site) starlark.Value {
			return starlark.Float(s.Latitude.Value)
		}),
	}}
	climateHandle = &Handle{Name: "climate", Summary: "monthly normals"}
	weatherHandle = &Handle{Name: "weather", Summary: "daily weather"}
	crewHandle    = &Handle{Name: "crew", Summary: "the hands there are"}
	plotHandle    = &Handle{Name: "plot", Summary: "a rectangle of ground", Attrs: []Attr{
		attr("name", "text", "what it is called", func(_ *evaluator, p *farm.Plot) starlark.Value {
			return starlark.String(p.Name.Value)
		}),
		attr("length", "a length", "along the rows", func(ev *evaluator, p *farm.Plot) starlark.Value {
			return ev.measured(p.Length)
		}),
		attr("width", "a length", "across the rows", func(ev *evaluator, p *farm.Plot) starlark.Value {
			return ev.measured(p.Width)
		}),
	}}
	soilHandle     = &Handle{Name: "soil", Summary: "the soil of a plot"}
	soilTestHandle = &Handle{Name: "soil_test", Summary: "a laboratory's report"}
	rowHandle      = &Handle{Name: "row", Summary: "a line of plants or a bed of several lines", Attrs: []Attr{
		attr("name", "text", "what it is called, empty when it has only its number", func(_ *evaluator, r *farm.Row) starlark.Value {
			return starlark.String(r.Name.Value)
		}),
		attr("plot", "a plot", "the plot it lies in", func(ev *evaluator, r *farm.Row) starlark.Value {
			return ev.handle(plotHandle, r.Plot)
		}),
		attr("at", "a length", "of its center line from the plot's first side", func(ev *evaluator, r *farm.Row) starlark.Value {
			return ev.measured(r.At)
		}),
	}}
	trellisHandle = &Handle{Name: "trellis", Summary: "what holds up a row"}
	trayHandle    = &Handle{Name: "tray", Summary: "a kind of tray that seed is sown in"}
	potHandle     = &Handle{Name: "pot", Summary: "a kind of pot that seedlings are stepped up into"}
	nurseryHandle = &Handle{Name: "nursery", Summary: "where transplants are raised"}

	protectantHandle = &Handle{Name: "protectant", Summary: "a product against pests or disease", Attrs: []Attr{
		attr("name", "text", "what it is called", func(_ *evaluator, p *farm.Protectant) starlark.Value {
			return starlark.String(p.Name.Value)
		}),
	}}
	protectHandle    = &Handle{Name: "protection", Summary: "a protectant put on, once or every so often"}
	fertilizerHandle = &Handle{Name: "fertilizer", Summary: "a product that feeds plants", Attrs: []Attr{productName}}
	amendmentHandle  = &Handle{Name: "amendment", Summary: "manure, compost, lime", Attrs: []Attr{productName}}
	measureHandle    = &Handle{Name: "measure", Summary: "a scoop, can or bucket"}
	feedHandle       = &Handle{Name: "feeding", Summary: "something fed to a plot, a row or a planting"}
	needHandle       = &Handle{Name: "need", Summary: "what a crop or a plot is to be fed"}
	creditHandle     = &Handle{Name: "credit", Summary: "nitrogen that a plot gives without being fed"}
	stockHandle      = &Handle{Name: "stock", Summary: "what is at hand of something bought"}

	historyHandle = &Handle{Name: "history", Summary: "what a plot grew in an earlier year"}
	cropHandle    = &Handle{Name: "crop", Summary: "a crop, of the table or of the plan's own", Attrs: []Attr{
		attr("name", "text", "what it is called", func(_ *evaluator, c *farm.Crop) starlark.Value {
			return starlark.String(c.Name)
		}),
		attr("family", "text", "its botanical family", func(_ *evaluator, c *farm.Crop) starlark.Value {
			return starlark.String(c.Family)
		}),
		attr(varietyName, "a method", "makes a variety of the crop", func(ev *evaluator, c *farm.Crop) starlark.Value {
			return ev.wrap(ev.variety, c)
		}),
	}}
	plantingHandle = &Handle{Name: "planting", Summary: "one crop set into a row", Attrs: []Attr{
		attr("on", "a date", "the day it goes into the row", func(ev *evaluator, p *farm.Planting) starlark.Value {
			if !p.On.Given {
				return starlark.None
			}
			return dateValue{Date: p.On.Value, ev: ev}
		}),
	}}
	taskHandle       = &Handle{Name: "task", Summary: "work to be done, or your own rate for a job"}
	priceHandle      = &Handle{Name: "price", Summary: "what a crop is sold for"}
	wantHandle       = &Handle{Name: "want", Summary: "what is asked of a crop in a week"}
	recordHandle     = &Handle{Name: "record", Summary: "what happened: something done, lost or harvested"}
	recordFileHandle = &Handle{Name: "record_file", Summary: "a file of what happened"}
	sourceHandle     = &Handle{Name: "water_source", Summary: "where water comes from"}
	tapeHandle       = &Handle{Name: "drip_tape", Summary: "a kind of drip tape"}
	pipeHandle       = &Handle{Name: "pipe", Summary: "a run of pipe"}
	zoneHandle       = &Handle{Name: "zone", Summary: "the rows behind one valve"}
)
