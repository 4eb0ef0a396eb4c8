// Package locale writes words, numbers, money, dates and quantities the way people of a language and a place do.
//
// Words stand in catalogues: catalogues/TAG/*.json, each an object from key to message. A message holds its values as
// {name}. A message that hangs on a number has a key for each plural category of the language (Unicode CLDR), such as
// "units.one" and "units.other", and holds the number as {n}. To add a language, add its folder and its line in
// locale.go; what a catalogue lacks is taken from the locale it leans on.
package locale
