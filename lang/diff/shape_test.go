package diff

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
)

// Every value that a plan can give is compared by what it says, never by where its text stands, and can be told.
func TestEveryFieldIsRead(t *testing.T) {
	c := newComparison(Side{}, Side{})
	c.shapeOf(reflect.TypeFor[farm.Farm]())
	fields := 0
	for typ, s := range c.shapes {
		for _, f := range s.fields {
			if f.as != isValue {
				continue
			}
			fields++
			v := reflect.New(typ).Elem().Field(f.index)
			require.NotEqual(t, notRead, c.say(&c.to, v), "%s.%s is of the type %s: teach equal, say and writeValue", typ, f.name, v.Type())
		}
	}
	require.Greater(t, fields, 150)
}
