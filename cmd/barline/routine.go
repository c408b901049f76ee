package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"barline/brew/routine"
	"barline/recipes"

	"github.com/spf13/cobra"
)

// isPath reports whether a name is meant as the path of a file.
func isPath(name string) bool {
	return strings.ContainsRune(name, filepath.Separator) || strings.Contains(name, "/") || strings.HasSuffix(name, ".yaml") || strings.HasSuffix(name, ".yml")
}

// asRoutine returns the routine that is meant: the file of a path that has
// sections, or one of that name where no recipe has it. It is nil where a
// recipe is meant, or nothing that is known.
func (a *app) asRoutine(name string) (*recipes.RoutineDocument, error) {
	if isPath(name) {
		return routineFile(name), nil
	}
	shelf, err := a.shelf()
	if err != nil {
		return nil, err
	}
	if _, err := shelf.Find(name); err == nil {
		return nil, nil
	}
	entry, err := a.routineNamed(name)
	if err != nil {
		return nil, nil
	}
	return entry.Document, nil
}

// routineFile returns the routine in a file, nil where there is none: a
// recipe's faults, and those of the file itself, are told by whoever reads it
// as a recipe.
func routineFile(path string) *recipes.RoutineDocument {
	text, err := readText(path)
	if err != nil || !recipes.IsRoutine(text) {
		return nil
	}
	document, _ := recipes.ParseRoutine(path, text)
	return document
}

// findRoutine returns the routine that is meant; the error says that there is
// none.
func (a *app) findRoutine(name string) (*recipes.RoutineDocument, error) {
	if !isPath(name) {
		entry, err := a.routineNamed(name)
		var unknown *recipes.NameError
		if errors.As(err, &unknown) {
			return nil, &inputError{unknown.Message, unknown.Hint}
		}
		return entry.Document, err
	}
	text, err := readText(name)
	if err != nil {
		return nil, err
	}
	if !recipes.IsRoutine(text) {
		return nil, &inputError{name + " is no routine: it has no sections", "barline plan shows a recipe"}
	}
	document, _ := recipes.ParseRoutine(name, text)
	return document, nil
}

func (a *app) routineNamed(name string) (recipes.RoutineEntry, error) {
	entries, err := a.routines()
	if err != nil {
		return recipes.RoutineEntry{}, err
	}
	return recipes.FindRoutine(entries, name)
}

// routines returns the routines at hand, the user's first.
func (a *app) routines() ([]recipes.RoutineEntry, error) {
	var files fs.FS
	if folder := a.ownRecipes(); folder != "" {
		if _, err := os.Stat(folder); err == nil {
			files = os.DirFS(folder)
		}
	}
	entries, err := recipes.Routines(files)
	if err != nil {
		return nil, &inputError{"no routines in " + a.ownRecipes() + ": " + plainError(err), "name a folder that can be read"}
	}
	return entries, nil
}

// readText reads a file of the size that a recipe or a routine may have.
func readText(path string) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, &inputError{path + ": " + plainError(err), "name a file that can be read"}
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, recipes.MaxSize+1))
	if err != nil {
		return nil, &inputError{path + ": " + plainError(err), ""}
	}
	return text, nil
}

// faultsOf returns all that is wrong with the file of a recipe or a routine;
// of a routine also whether it is possible.
func (a *app) faultsOf(path string) (recipes.Faults, error) {
	found := routineFile(path)
	if found == nil {
		document, err := readRecipe(path)
		if err != nil {
			return nil, err
		}
		return document.Check(a.bar()), nil
	}
	_, faults, err := a.resolve(found)
	return faults, err
}

// resolve returns a routine with its recipes and the search for its best plan,
// nil where it has errors, and all its faults.
func (a *app) resolve(document *recipes.RoutineDocument) (*routine.Search, recipes.Faults, error) {
	shelf, err := a.shelf()
	if err != nil {
		return nil, nil, err
	}
	resolved, faults := document.Resolve(recipes.FindOn(shelf), a.bar())
	if faults.Err() != nil {
		return nil, faults, nil
	}
	search := routine.Solve(resolved, routine.Usual)
	faults = append(faults, document.Place(search.Verdict())...)
	return search, faults.Sorted(), nil
}

// performed returns the best plan of a routine, for a rehearsal without water
// where dry is set. What is wrong with the file is told as check tells it, and
// the error says that it has been.
func (a *app) performed(document *recipes.RoutineDocument, dry bool) (*routine.Plan, error) {
	search, faults, err := a.resolve(document)
	if err != nil {
		return nil, err
	}
	if errs := faults.Errors(); len(errs) > 0 {
		io.WriteString(a.stderr, errs.Text())
		return nil, errTold
	}
	if dry {
		search = search.Dry(routine.Usual)
	}
	if !search.Found() {
		return nil, &inputError{document.Routine().Name + " has no plan", "barline plan says why"}
	}
	return search.Plan(), nil
}

// completeRoutines completes the names of the routines at hand.
func (a *app) completeRoutines() cobra.CompletionFunc {
	return func(_ *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		entries, err := a.routines()
		if err != nil {
			return nil, cobra.ShellCompDirectiveError
		}
		var names []cobra.Completion
		for _, e := range entries {
			names = append(names, cobra.CompletionWithDesc(e.Stem, e.Name))
		}
		return names, cobra.ShellCompDirectiveDefault
	}
}
