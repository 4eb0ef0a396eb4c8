package deploy_test

import (
	"encoding/json"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// instruction is one of a Dockerfile, its continued lines joined.
type instruction struct{ word, rest string }

func readImage(t *testing.T) (stages [][]instruction) {
	t.Helper()
	text, err := os.ReadFile("../Dockerfile")
	require.NoError(t, err)
	known := regexp.MustCompile(`^(FROM|WORKDIR|COPY|RUN|ARG|ENV|USER|EXPOSE|STOPSIGNAL|ENTRYPOINT|CMD)$`)
	for line := range strings.SplitSeq(strings.ReplaceAll(string(text), "\\\n", " "), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		word, rest, _ := strings.Cut(line, " ")
		require.Regexp(t, known, word)
		if word == "FROM" {
			stages = append(stages, nil)
		}
		require.NotEmpty(t, stages, "%s before FROM", word)
		last := &stages[len(stages)-1]
		*last = append(*last, instruction{word, strings.TrimSpace(rest)})
	}
	return stages
}

func all(stage []instruction, word string) (rests []string) {
	for _, i := range stage {
		if i.word == word {
			rests = append(rests, i.rest)
		}
	}
	return rests
}

func TestImageIsBuiltByTheToolchainOfTheModule(t *testing.T) {
	t.Parallel()
	module, err := os.ReadFile("../go.mod")
	require.NoError(t, err)
	version := regexp.MustCompile(`(?m)^go ([0-9]+\.[0-9]+)`).FindStringSubmatch(string(module))
	require.NotNil(t, version)
	stages := readImage(t)
	require.Len(t, stages, 2)
	from := strings.Fields(stages[0][0].rest)
	assert.Contains(t, from, "golang:"+version[1])

	build := strings.Join(all(stages[0], "RUN"), "\n")
	for _, want := range []string{"CGO_ENABLED=0", "GOAMD64=v1", "-trimpath", "-tags nomsgpack", `-ldflags "-s -w"`, "./cmd/bedline"} {
		assert.Contains(t, build, want)
	}
}

func TestImageHoldsOneProgramThatIsNotRoot(t *testing.T) {
	t.Parallel()
	stages := readImage(t)
	final := stages[len(stages)-1]
	assert.Equal(t, []string{"scratch"}, all(final, "FROM"))
	assert.Empty(t, all(final, "RUN"), "there is nothing to run")
	assert.Equal(t, []string{"8080"}, all(final, "EXPOSE"))
	users := all(final, "USER")
	require.Len(t, users, 1)
	assert.Regexp(t, `^[1-9][0-9]*:[1-9][0-9]*$`, users[0], "by number: there is no list of users to look a name up in")
	for _, word := range []string{"ENTRYPOINT", "CMD"} {
		texts := all(final, word)
		require.Len(t, texts, 1, word)
		var args []string
		require.NoError(t, json.Unmarshal([]byte(texts[0]), &args), "%s: there is no shell", word)
		assert.NotEmpty(t, args)
	}
	for _, copied := range all(final, "COPY") {
		assert.True(t, strings.HasPrefix(copied, "--from=build "), copied)
	}
}
