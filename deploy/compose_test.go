// Package deploy_test checks what the files for deployment promise. It runs no container.
package deploy_test

import (
	"maps"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type compose struct {
	Name     string              `yaml:"name"`
	Services map[string]*service `yaml:"services"`
	Volumes  map[string]any      `yaml:"volumes"`
}

type service struct {
	Image           string                       `yaml:"image"`
	Build           map[string]string            `yaml:"build"`
	Command         []string                     `yaml:"command"`
	Restart         string                       `yaml:"restart"`
	Environment     map[string]string            `yaml:"environment"`
	Ports           []string                     `yaml:"ports"`
	Volumes         []string                     `yaml:"volumes"`
	DependsOn       map[string]map[string]string `yaml:"depends_on"`
	Healthcheck     *healthcheck                 `yaml:"healthcheck"`
	ReadOnly        bool                         `yaml:"read_only"`
	CapDrop         []string                     `yaml:"cap_drop"`
	SecurityOpt     []string                     `yaml:"security_opt"`
	ShmSize         string                       `yaml:"shm_size"`
	StopGracePeriod string                       `yaml:"stop_grace_period"`
}

type healthcheck struct {
	Test        []string `yaml:"test"`
	Interval    string   `yaml:"interval"`
	Timeout     string   `yaml:"timeout"`
	Retries     int      `yaml:"retries"`
	StartPeriod string   `yaml:"start_period"`
}

func read(t *testing.T) compose {
	t.Helper()
	text, err := os.ReadFile("compose.yaml")
	require.NoError(t, err)
	var c compose
	require.NoError(t, yaml.UnmarshalWithOptions(text, &c, yaml.Strict()), "a member that is misspelt")
	return c
}

func TestServiceStartsAfterAHealthyAndMigratedDatabase(t *testing.T) {
	t.Parallel()
	c := read(t)
	assert.Equal(t, []string{"bedline", "database", "migrate"}, slices.Sorted(maps.Keys(c.Services)))
	database, migrate, bedline := c.Services["database"], c.Services["migrate"], c.Services["bedline"]

	require.NotNil(t, database.Healthcheck)
	assert.Equal(t, []string{"CMD", "pg_isready"}, database.Healthcheck.Test[:2])
	assert.Contains(t, database.Healthcheck.Test, "--host=127.0.0.1")
	assert.Equal(t, "service_healthy", migrate.DependsOn["database"]["condition"])
	assert.Equal(t, "service_healthy", bedline.DependsOn["database"]["condition"])
	assert.Equal(t, "service_completed_successfully", bedline.DependsOn["migrate"]["condition"])
	assert.Equal(t, []string{"migrate"}, migrate.Command)
	assert.Equal(t, []string{"serve"}, bedline.Command)

	require.NotNil(t, bedline.Healthcheck)
	assert.Equal(t, []string{"CMD", "/bedline", "healthcheck"}, bedline.Healthcheck.Test)
	for _, check := range []*healthcheck{database.Healthcheck, bedline.Healthcheck} {
		for _, duration := range []string{check.Interval, check.Timeout, check.StartPeriod} {
			assert.Regexp(t, `^[1-9][0-9]*s$`, duration)
		}
		assert.Positive(t, check.Retries)
	}
}

func TestServiceIsConfiguredByItsEnvironment(t *testing.T) {
	t.Parallel()
	c := read(t)
	for _, name := range []string{"bedline", "migrate"} {
		env := c.Services[name].Environment
		assert.Equal(t, []string{"BEDLINE_DATABASE", "BEDLINE_LISTEN", "BEDLINE_PRICES", "PGPASSWORD"},
			slices.Sorted(maps.Keys(env)), name)
		assert.Equal(t, "0.0.0.0:8080", env["BEDLINE_LISTEN"], name)
		assert.Equal(t, c.Services["database"].Environment["POSTGRES_PASSWORD"], env["PGPASSWORD"], name)
		assert.Contains(t, env["BEDLINE_DATABASE"], "@database:5432/", name)
	}
}

func TestSecretsComeFromOutside(t *testing.T) {
	t.Parallel()
	secret := regexp.MustCompile(`^\$\{POSTGRES_PASSWORD:-example-for-local-use-only\}$`)
	for name, s := range read(t).Services {
		for key, value := range s.Environment {
			if strings.Contains(key, "PASSWORD") {
				assert.Regexp(t, secret, value, "%s: %s", name, key)
			}
			assert.NotRegexp(t, `://[^/@]*:[^/@]*@`, value, "%s: %s has a password in a URL", name, key)
		}
	}
}

func TestOnlyTheServiceIsReachedAndOnlyFromThisMachine(t *testing.T) {
	t.Parallel()
	for name, s := range read(t).Services {
		if name != "bedline" {
			assert.Empty(t, s.Ports, name)
			continue
		}
		require.Len(t, s.Ports, 1)
		assert.True(t, strings.HasPrefix(s.Ports[0], "127.0.0.1:"), s.Ports[0])
		assert.True(t, strings.HasSuffix(s.Ports[0], ":8080"), s.Ports[0])
	}
}

func TestDataOutlivesTheContainers(t *testing.T) {
	t.Parallel()
	c := read(t)
	require.Len(t, c.Services["database"].Volumes, 1)
	volume, path, _ := strings.Cut(c.Services["database"].Volumes[0], ":")
	assert.Contains(t, c.Volumes, volume)
	assert.Equal(t, "/var/lib/postgresql/data", path)
}

func TestImagesAreKnownAndContainersConfined(t *testing.T) {
	t.Parallel()
	c := read(t)
	image := regexp.MustCompile(`^postgres:([0-9]+)-alpine$`).FindStringSubmatch(c.Services["database"].Image)
	require.NotNil(t, image, "a major version is named")
	major, err := strconv.Atoi(image[1])
	require.NoError(t, err)
	assert.GreaterOrEqual(t, major, 15)
	assert.Less(t, major, 18, "from 18 on the image keeps its data in another folder")
	for name, s := range c.Services {
		assert.Contains(t, s.SecurityOpt, "no-new-privileges:true", name)
		if name != "database" { // which changes its user at the start and owns its volume
			assert.True(t, s.ReadOnly, name)
			assert.Equal(t, []string{"ALL"}, s.CapDrop, name)
			assert.Equal(t, "..", s.Build["context"], name)
		}
	}
}
