// Package helptext gives commands, arguments and flags help texts that are too long for a struct
// tag. The tag says help:"${score_taps}", and a table of [Texts] below the struct says what stands
// for that.
package helptext

import (
	"fmt"
	"maps"
	"os"
	"slices"

	"github.com/alecthomas/kong"
)

// Texts are help texts by name. They may name other texts in turn, and variables of the parser such
// as ${comfort}.
type Texts map[string]string

// Use is an option of the parser that puts texts in their places. It is an error where a name has
// two texts, or a text no place; the parser itself refuses names that nothing stands for.
//
// [kong.Vars] would do without this package, but goes through all variables anew for every flag: with
// as many as there are texts the program would take four times as long to start.
func Use(tables ...Texts) kong.Option {
	return kong.PostBuild(func(k *kong.Kong) error {
		s := speller{texts: Texts{}, used: map[string]bool{}}
		for _, table := range tables {
			for name := range table {
				if _, double := s.texts[name]; double {
					return fmt.Errorf("the help text %q is there twice", name)
				}
			}
			maps.Copy(s.texts, table)
		}
		err := kong.Visit(k.Model.Node, func(at kong.Visitable, next kong.Next) error {
			switch at := at.(type) {
			case *kong.Node:
				at.Help = s.spell(at.Help)
			case *kong.Value:
				at.Help = s.spell(at.Help)
			}
			return next(nil)
		})
		for _, name := range slices.Sorted(maps.Keys(s.texts)) {
			if err == nil && !s.used[name] {
				err = fmt.Errorf("the help text %q is used nowhere", name)
			}
		}
		return err
	})
}

type speller struct {
	texts Texts
	used  map[string]bool
}

// spell puts texts for their names. Names it does not know are left for the parser.
func (s *speller) spell(help string) string {
	return os.Expand(help, func(name string) string {
		text, ok := s.texts[name]
		if !ok {
			return "${" + name + "}"
		}
		s.used[name] = true
		return s.spell(text)
	})
}
