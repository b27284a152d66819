package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/cmd/clapladder/internal/fault"
)

func TestSettingsStandBehindEnvironmentAndFlags(t *testing.T) {
	home := t.TempDir()
	env := map[string]string{"LANG": "en_GB.UTF-8", "XDG_CONFIG_HOME": home}
	mine := write(t, "mine.toml", lunchBank)
	do := func(args ...string) outcome { return executeIn(t, env, "", args...) }

	before := do("grade")
	got := do("settings", "set", "bank", mine)
	require.Zero(t, got.status, got.stderr)
	assert.Contains(t, got.stderr, "bank is "+mine+" now, in "+filepath.Join(home, "clapladder",
		"settings.toml"))
	assert.Equal(t, do("grade", mine).stdout, do("grade").stdout, "the settings are used")
	assert.Equal(t, before.stdout, do("grade", "starter").stdout, "a word on the command line wins")
	assert.Regexp(t, `bank +`+mine+` +`+home, do("settings").stdout)

	env["CLAPLADDER_BANK"] = "starter"
	assert.Equal(t, before.stdout, do("grade").stdout, "the environment wins over the file")
	assert.Regexp(t, `bank +starter +CLAPLADDER_BANK`, do("settings").stdout)
	assert.Contains(t, do("settings", "set", "bank", mine).stderr,
		"but CLAPLADDER_BANK says starter, and wins")
	delete(env, "CLAPLADDER_BANK")

	require.Zero(t, do("settings", "set", "comfort", "0.8").status)
	assert.Contains(t, do("pick", "--tier", "3").stdout, "80 %")
	assert.Contains(t, do("pick", "--tier", "3", "--comfort", "0.6").stdout, "60 %")
	require.Zero(t, do("settings", "unset", "bank").status)
	assert.Equal(t, before.stdout, do("grade").stdout)
}

func TestSettingsRefuseWhatCannotBeUsed(t *testing.T) {
	home := t.TempDir()
	env := map[string]string{"XDG_CONFIG_HOME": home}
	broken := write(t, "broken.toml", "[[phrase]]\n")
	for _, test := range []struct {
		status int
		args   []string
		want   string
	}{
		{fault.ExitInput, []string{"set", "bank", broken}, "the phrase has no"},
		{fault.ExitInput, []string{"set", "bank", "nowhere.toml"}, "there is no such file"},
		{fault.ExitInput, []string{"set", "recordings", broken}, "this is a file; name the folder it is in"},
		{fault.ExitUsage, []string{"set", "comfort", "7"}, "comfort is 7; write a share from 0.5 to 0.95"},
		{fault.ExitUsage, []string{"set", "bnak", "x"}, "must be one of"},
		{fault.ExitUsage, []string{"nonsense"}, `unknown command "nonsense"`},
	} {
		got := executeIn(t, env, "", append([]string{"settings"}, test.args...)...)
		assert.Equal(t, test.status, got.status, got.stderr)
		assert.Contains(t, got.stderr, test.want)
	}
	assert.NoDirExists(t, filepath.Join(home, "clapladder"))
}

func TestBrokenSettingsStopOnlyWhatNeedsThem(t *testing.T) {
	home := t.TempDir()
	path := filepath.Join(home, "clapladder", "settings.toml")
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	require.NoError(t, os.WriteFile(path, []byte("# mine\nbnak = 'x'\n"), 0o644))
	env := map[string]string{"XDG_CONFIG_HOME": home}
	got := executeIn(t, env, "", "grade")
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Equal(t, "clapladder: "+path+", line 2: there is no setting \"bnak\"; settings are "+
		"bank, repertoire, history, comfort, recordings\n", got.stderr)
	assert.Zero(t, executeIn(t, env, "", "grade", "starter").status)
	assert.Zero(t, executeIn(t, env, "", "version").status)
	assert.Zero(t, executeIn(t, env, "", "help").status)
	env = map[string]string{"CLAPLADDER_COMFORT": "9"}
	assert.Equal(t, fault.ExitInput, executeIn(t, env, "", "tally", "row=got").status)
}

func TestScoreTakesTheNewestOfTheFolderInTheSettings(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "a.wav"), clappedAlone(t, "x x xx x"), 0o644))
	env := map[string]string{"CLAPLADDER_RECORDINGS": folder}
	got := executeIn(t, env, "", "score")
	require.Zero(t, got.status, got.stderr)
	assert.Contains(t, got.stderr, "listening to "+filepath.Join(folder, "a.wav")+", of ")
}

func TestTheReportNamesTheStarterBankUnlessItWasChosen(t *testing.T) {
	named := "Graded with the starter bank."
	assert.Contains(t, fault.OneLine(execute(t, "", "tally", "row=got").stdout), named)
	assert.NotContains(t, fault.OneLine(execute(t, "", "tally", "row=got", "--bank",
		"starter").stdout), named)
	assert.NotContains(t, fault.OneLine(executeIn(t,
		map[string]string{"CLAPLADDER_BANK": write(t, "b.toml", string(starterText(t)))}, "",
		"tally", "row=got").stdout), named)
}
