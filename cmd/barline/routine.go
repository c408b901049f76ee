package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
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
// recipe is meant, or nothing that is known: whoever looks for a recipe of that
// name says so.
func (a *app) asRoutine(name string) (*recipes.RoutineDocument, error) {
	if isPath(name) {
		return routineFile(name), nil
	}
	shelf, err := a.shelf()
	if err != nil {
		return nil, err
	}
	_, noRecipe := shelf.Find(name)
	if noRecipe == nil {
		return nil, nil
	}
	entry, noRoutine := a.routineNamed(name)
	if noRoutine == nil {
		return entry.Document, nil
	}
	return nil, nearerRoutine(noRecipe, noRoutine)
}

// nearerRoutine returns the error for a name that no recipe has and not one
// routine, nil where what is known of recipes says as much.
func nearerRoutine(noRecipe, noRoutine error) error {
	var recipe, found *recipes.NameError
	switch {
	case !errors.As(noRoutine, &found) || !errors.As(noRecipe, &recipe) || recipe.Many:
		return nil
	case found.Many:
		return &inputError{found.Message, found.Hint}
	case recipe.Hint == "" && found.Hint != "":
		return &inputError{"no recipe and no routine " + strconv.Quote(found.Name), found.Hint}
	}
	return nil
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
			return nil, unheard(unknown)
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

// faultsOf returns all that is wrong with a recipe or a routine, of a file or of
// a name as plan takes it; of a routine also whether it is possible.
func (a *app) faultsOf(name string) (recipes.Faults, error) {
	found, err := a.routineOf(name)
	if err != nil {
		return nil, err
	}
	if found != nil {
		_, faults, err := a.resolve(found)
		return faults, err
	}
	document, err := a.recipeOf(name)
	if err != nil {
		return nil, err
	}
	return document.Check(a.bar()), nil
}

// routineOf and recipeOf take a file, whatever it is called, before a name.
func (a *app) routineOf(name string) (*recipes.RoutineDocument, error) {
	if isFile(name) {
		return routineFile(name), nil
	}
	return a.asRoutine(name)
}

func (a *app) recipeOf(name string) (*recipes.Document, error) {
	if isFile(name) {
		return readRecipe(name)
	}
	return a.find(name)
}

func isFile(name string) bool {
	found, err := os.Stat(name)
	return err == nil && found.Mode().IsRegular()
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
	return completeFirst(a.routineNames)
}

// completeAll completes the names of the recipes and of the routines at hand.
func (a *app) completeAll() cobra.CompletionFunc {
	return completeFirst(a.recipeNames, a.routineNames)
}

func (a *app) routineNames() (names []cobra.Completion, err error) {
	entries, err := a.routines()
	for _, e := range entries {
		names = append(names, cobra.CompletionWithDesc(e.Stem, e.Name))
	}
	return names, err
}
