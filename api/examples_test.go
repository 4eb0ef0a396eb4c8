package api_test

import (
	"flag"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the answers to the examples of the contract into openapi.yaml")

// answered are the operations whose examples have their answers in the contract, and how the names of these end.
var answered = []struct{ operation, path, ending string }{
	{"createEstimate", "/v1/estimates", "Estimate"},
	{"createSupplyComparison", "/v1/supply-comparisons", "Comparison"},
	{"createSupplyPlan", "/v1/supply-plans", "Plan"},
	{"createCalibration", "/v1/calibrations", "Calibration"},
}

// TestTheExamplesOfTheContractAreAnsweredAsItSays posts every example of the contract and compares the whole answer with
// the one that the contract shows.
func TestTheExamplesOfTheContractAreAnsweredAsItSays(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, a := range answered {
		examplesAreAnswered(t, s, a.operation, a.path, a.ending)
	}
}

func examplesAreAnswered(t *testing.T, s *service, operation, path, ending string) {
	o, ok := s.contract.Operation(operation)
	require.True(t, ok)
	post := func(body string) answer { return s.do("POST", path, body, "Content-Type", "application/json") }
	examples := o.Examples()
	answers := o.Answers()
	require.NotEmpty(t, examples)
	require.Len(t, answers, len(examples))
	for name, text := range examples {
		a := post(string(text))
		require.Equal(t, 200, a.status, "%s: %s", name, a.body)
		assert.Equal(t, "application/json", a.header.Get("Content-Type"), "C11")
		assert.Equal(t, "no-store", a.header.Get("Cache-Control"), "D2")
		assert.Equal(t, `</v1/price-lists/standard/versions/1>; rel="describedby"`, a.header.Get("Link"), "D8")
		assert.Equal(t, string(a.body), string(post(string(text)).body), "F16")
		if *update {
			rewriteAnswer(t, name, ending, a.body)
			continue
		}
		assert.JSONEq(t, string(answers[name]), string(a.body), "if the change is right: go test ./api -run Examples -update, and review it")
	}
}

// rewriteAnswer puts an answer into the contract: that of an estimate of garage_bed goes under
// components/examples/GarageBedEstimate.
func rewriteAnswer(t *testing.T, name, ending string, answer []byte) {
	t.Helper()
	const file = "../openapi.yaml"
	contract, err := os.ReadFile(file)
	require.NoError(t, err)
	var member strings.Builder
	for part := range strings.SplitSeq(name, "_") {
		member.WriteString(strings.ToUpper(part[:1]) + part[1:])
	}
	member.WriteString(ending)
	block, err := yaml.JSONToYAML(answer)
	require.NoError(t, err)
	lines := strings.Split(strings.TrimRight(string(block), "\n"), "\n")
	old := regexp.MustCompile(`(?m)^    ` + member.String() + `:\n(      summary: .*\n)      value:.*\n(?:        .*\n)*`)
	require.True(t, old.Match(contract), "openapi.yaml has no example %s", member.String())
	written := old.ReplaceAllFunc(contract, func(found []byte) []byte {
		summary := old.FindSubmatch(found)[1]
		out := slices.Concat([]byte("    "+member.String()+":\n"), summary, []byte("      value:\n"))
		for _, line := range lines {
			out = append(out, "        "+line+"\n"...)
		}
		return out
	})
	require.NoError(t, os.WriteFile(file, written, 0o644))
}
