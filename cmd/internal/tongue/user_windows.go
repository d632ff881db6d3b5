package tongue

import "golang.org/x/sys/windows"

// userLanguages are those that the user has chosen for windows and menus.
func userLanguages() []string {
	names, err := windows.GetUserPreferredUILanguages(windows.MUI_LANGUAGE_NAME)
	if err != nil {
		return nil
	}
	return names
}
