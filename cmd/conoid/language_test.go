package main

import (
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/render/voice"
)

func TestTheVoiceIsFoundBeforeTheCommands(t *testing.T) {
	german := voice.In("de")
	for _, c := range []struct {
		args   []string
		system []string
		want   voice.Voice
	}{
		{nil, nil, voice.English},
		{nil, []string{"de_DE.UTF-8"}, german},
		{nil, []string{"fr_FR.UTF-8", "de"}, voice.English},
		{[]string{"sit", "--language", "de"}, []string{"en"}, german},
		{[]string{"--language=de", "sit"}, nil, german},
		{[]string{"--language=en", "--language", "de"}, nil, german},
		{[]string{"--", "--language", "de"}, nil, voice.English},
		{[]string{"sit", "--language"}, []string{"de"}, german}, // the value is missed later
	} {
		v, err := voiceFor(c.args, c.system)
		require.NoError(t, err)
		assert.Equal(t, c.want, v, "%v %v", c.args, c.system)
	}
	v, err := voiceFor([]string{"--language", "tlh"}, []string{"de"})
	assert.Equal(t, german, v)
	var usage usageError
	assert.ErrorAs(t, err, &usage)
}

// Each kind of value that a flag can take has words.
func TestFlagsHaveWords(t *testing.T) {
	for _, language := range assets.Languages() {
		v := voice.In(language)
		var walk func(*cobra.Command)
		walk = func(cmd *cobra.Command) {
			cmd.Flags().VisitAll(func(f *pflag.Flag) {
				kind := f.Value.Type()
				assert.True(t, f.Hidden || f.Usage != "", "%s --%s", cmd.CommandPath(), f.Name)
				assert.True(t, kind == "bool" || v.Has("help.value."+kind), "%s: %s", language, kind)
				assert.True(t, kind == "string" || kind == "stringArray" || v.Has("usage.kind."+kind), "%s: %s", language, kind)
			})
			for _, c := range cmd.Commands() {
				walk(c)
			}
		}
		walk(rootCommand(v))
	}
}
