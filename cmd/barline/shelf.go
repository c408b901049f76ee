package main

import (
	"cmp"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"barline/brew"
	"barline/recipes"

	"github.com/spf13/cobra"
)

// ownRecipes returns the folder of the user's recipes: the flag's, the
// configuration's, else the platform's place for configuration. It is "" where
// there is no such place.
func (a *app) ownRecipes() string {
	if named := firstOf(a.flags.recipes, a.config.recipes); named != "" {
		return named
	}
	folder, err := configFolder(runtime.GOOS, a.getenv)
	if err != nil {
		return ""
	}
	return filepath.Join(folder, "recipes")
}

// shelf returns the shelf: the user's recipes and the shipped ones. A folder
// that is not there is no error unless it was asked for.
func (a *app) shelf() (*recipes.Shelf, error) {
	folder := a.ownRecipes()
	named := a.flags.recipes != "" || a.config.recipes != ""
	var files fs.FS
	switch _, err := os.Stat(folder); {
	case err == nil:
		files = os.DirFS(folder)
	case named || folder != "" && !errors.Is(err, fs.ErrNotExist):
		return nil, &inputError{"no recipes in " + folder + ": " + plainError(err), "name a folder that can be read"}
	}
	shelf, err := recipes.NewShelf(files, a.bar())
	if err != nil {
		return nil, &inputError{"no recipes in " + folder + ": " + plainError(err), "name a folder that can be read"}
	}
	return shelf, nil
}

// find returns the recipe file that is meant: a path where the name looks
// like one, else a name on the shelf.
func (a *app) find(name string) (*recipes.Document, error) {
	if isPath(name) {
		return readRecipe(name)
	}
	shelf, err := a.shelf()
	if err != nil {
		return nil, err
	}
	entry, err := shelf.Find(name)
	var unknown *recipes.NameError
	if errors.As(err, &unknown) {
		return nil, unheard(unknown)
	}
	return entry.Document, err
}

// shelfHint is what to do about a name that nothing goes by.
const shelfHint = "barline recipes lists what is at hand"

// unheard returns the error for a name that no recipe, or no routine, goes by.
func unheard(e *recipes.NameError) error {
	if info, err := os.Stat(e.Name); err == nil && info.IsDir() {
		return &inputError{e.Message + ": that is a folder", "name the files in it, " + filepath.Join(e.Name, "*.yaml")}
	}
	return &inputError{e.Message, cmp.Or(e.Hint, shelfHint)}
}

// readRecipe reads a recipe file, no more of it than a recipe may have.
func readRecipe(path string) (*recipes.Document, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, &inputError{path + ": " + plainError(err), shelfHint}
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, recipes.MaxSize+1))
	if err != nil {
		return nil, &inputError{path + ": " + plainError(err), ""}
	}
	document, _ := recipes.Parse(path, text)
	return document, nil
}

// plainError returns what went wrong with a file without repeating its path.
func plainError(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	return err.Error()
}

// planned returns the plan of the recipe that is meant, for another dose
// where one is given. What is wrong with the file is told as check tells it.
func (a *app) planned(name, dose string) (plan *brew.Plan, document *recipes.Document, warnings recipes.Faults, err error) {
	if document, err = a.find(name); err != nil {
		return nil, nil, nil, err
	}
	faults := document.Check(a.bar())
	if errs := faults.Errors(); len(errs) > 0 {
		io.WriteString(a.stderr, errs.Text())
		return nil, nil, nil, errTold
	}
	recipe, warnings := document.Recipe(), faults.Warnings()
	if dose != "" {
		grams, err := parseDose(dose)
		if err != nil {
			return nil, nil, nil, err
		}
		if recipe, err = recipe.Scale(grams, a.bar()); err != nil {
			return nil, nil, nil, &inputError{"for a dose of " + grams.String() + ": " + err.Error(), "give another dose"}
		}
		warnings = document.CheckAs(recipe, a.bar()).Warnings()
	}
	if plan, err = brew.NewPlan(recipe, a.bar()); err != nil {
		return nil, nil, nil, &inputError{err.Error(), ""}
	}
	return plan, document, warnings, nil
}

// completeRecipes completes the names on the shelf.
func (a *app) completeRecipes() cobra.CompletionFunc {
	return completeFirst(a.recipeNames)
}

func (a *app) recipeNames() (names []cobra.Completion, err error) {
	shelf, err := a.shelf()
	if err != nil {
		return nil, err
	}
	for _, e := range shelf.Entries() {
		names = append(names, cobra.CompletionWithDesc(e.Stem, e.Name))
	}
	return names, nil
}

// completeFirst completes the first argument with names, or with files.
func completeFirst(lists ...func() ([]cobra.Completion, error)) cobra.CompletionFunc {
	return func(_ *cobra.Command, args []string, _ string) (names []cobra.Completion, _ cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		for _, list := range lists {
			more, err := list()
			if err != nil {
				return nil, cobra.ShellCompDirectiveError
			}
			names = append(names, more...)
		}
		return names, cobra.ShellCompDirectiveDefault
	}
}
