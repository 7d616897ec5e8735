using System.Diagnostics;

namespace StageView.App.Tests.Verbs;

/// <summary>
/// The files of docs/ci, run as they lie there: the matrix' shell part in several folders with its merge, the hook in a repository, the workflow's syntax.
/// </summary>
public sealed class RecipeTests : IDisposable
{
    private const string Cues = """
        {
          "rate": 40, "length": 6,
          "points": { "middle": [0, 2, 1.2] },
          "cues": [
            { "time": 0, "name": "dark", "fade": 0, "set": [{ "fixtures": "all", "dimmer": 0, "zoom": "16deg", "aim": "middle" }] },
            { "time": 1, "name": "one", "fade": 0.5, "set": [{ "fixtures": "101", "dimmer": 0.8 }] },
            { "time": 3.5, "name": "two", "fade": 0.5, "set": [{ "fixtures": "102-103", "dimmer": 0.6 }] }
          ]
        }
        """;

    private readonly TempFolder _temp = new();
    private readonly string _show;

    public RecipeTests()
    {
        _show = Path.Combine(_temp.Path, "show");
        Assert.Equal(0, CommandRun.Of("new", _show).ExitCode);
        File.WriteAllText(Path.Combine(_show, "show.cues.jsonc"), Cues);
        Play("show.cues.jsonc", "show.pcapng");
    }

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void The_matrix_compares_in_parts_and_a_part_that_is_missing_is_no_pass()
    {
        var machines = Enumerable.Range(1, 2).Select(_ => Directory.CreateTempSubdirectory("stageview-machine-").FullName).ToArray();
        try
        {
            Assert.Equal(0, CommandRun.Of("snap", Rig, "--capture", Capture, "--cues", "--size", "96x54", "--out", _temp.File("first")).ExitCode);
            Assert.Equal(0, CommandRun.Of("accept", Base, _temp.File("first"), "*", "--why", "first").ExitCode);
            var merged = Matrix(machines, Capture);
            Assert.True(merged.Code == 0, merged.Text);
            Assert.Contains("identical", merged.Text, StringComparison.Ordinal);

            File.WriteAllText(Path.Combine(_show, "new.cues.jsonc"), Cues.Replace("\"dimmer\": 0.8", "\"dimmer\": 0.5", StringComparison.Ordinal));
            Play("new.cues.jsonc", "new.pcapng");
            merged = Matrix(machines, Path.Combine(_show, "new.pcapng"));
            Assert.True(merged.Code == 1, merged.Text);
            Assert.Contains("changed", merged.Text, StringComparison.Ordinal);
            Assert.True(File.Exists(Path.Combine(machines[0], "report", "report.html")));

            Directory.Delete(Path.Combine(machines[0], "reports", "2"), true);
            merged = Bash(machines[0], Repo.File("docs", "ci", "compare.sh") + " merge", ("JOBS", "2"));
            Assert.True(merged.Code == 2, merged.Text);
            Assert.Contains("part 2 of 2 left no report", merged.Text, StringComparison.Ordinal);
        }
        finally
        {
            foreach (var machine in machines)
            {
                Directory.Delete(machine, true);
            }
        }
    }

    [Fact]
    public void The_hook_stops_a_commit_that_changes_the_show_and_says_why()
    {
        Skip(Bash(_show, "git --version"), "git");
        var git = Bash(_show,
            $"git init -q . && git config user.name Someone && git config user.email someone@example.org && cp '{Repo.File("docs", "ci", "pre-commit")}' "
            + $".git/hooks/pre-commit && chmod +x .git/hooks/pre-commit && printf '.stageview-report/\\nframes/\\n' >.gitignore");
        Assert.True(git.Code == 0, git.Text);
        var stageview =
            $"{Command} snap show.rig.jsonc --capture show.pcapng --cues --size 96x54 --out frames && {Command} accept baselines frames '*' --why first && rm "
            + $"-rf frames";
        var first = Bash(_show, stageview + " && git add . && git commit -qm first");
        Assert.True(first.Code == 0, first.Text);

        // A commit that leaves the show alone goes through without a look.
        var notes = Bash(_show, "echo notes >notes.txt && git add . && git commit -qm notes");
        Assert.True(notes.Code == 0, notes.Text);

        var moved = Bash(_show,
            "sed -i 's/\"name\": \"front truss\", \"at\": \\[0, 1, 6\\]/\"name\": \"front truss\", \"at\": [0, 1, 5]/' show.rig.jsonc && git add . && git "
            + "commit -qm moved");
        Assert.True(moved.Code != 0, moved.Text);
        Assert.Contains("the show looks different", moved.Text, StringComparison.Ordinal);
        Assert.Contains("front truss: 1 m lower", moved.Text, StringComparison.Ordinal);
        Assert.True(File.Exists(Path.Combine(_show, ".stageview-report", "report", "report.html")));

        var accepted = Bash(_show, $"{Command} accept baselines .stageview-report/frames '*' --why 'lower truss' && git add . && git commit -qm moved");
        Assert.True(accepted.Code == 0, accepted.Text);
    }

    /// <summary>Every YAML file of docs is read by PyYAML, and every step's shell line by bash -n.</summary>
    [Fact]
    public void The_workflows_are_sound_YAML_whose_steps_are_sound_shell()
    {
        Skip(Bash(_show, "python3 -c 'import yaml'"), "python3 with PyYAML (Debian: python3-yaml)");
        const string program = """
            import glob, re, subprocess, sys, yaml
            files = glob.glob(sys.argv[1] + '/docs/**/*.y*ml', recursive=True)
            assert len(files) >= 3, files
            steps = 0
            for name in files:
                for document in yaml.safe_load_all(open(name)):
                    assert isinstance(document, dict), name
                    for job in document.get('jobs', {}).values() if isinstance(document.get('jobs'), dict) else []:
                        assert 'runs-on' in job and job['steps'], (name, job)
                        for step in job['steps']:
                            assert ('run' in step) != ('uses' in step), (name, step)
                            if 'run' in step:
                                steps += 1
                                shell = re.sub(r'\$\{\{.*?\}\}', 'value', step['run'])
                                subprocess.run(['bash', '-n', '-c', shell], check=True)
            print(len(files), 'files', steps, 'steps')
            """;
        File.WriteAllText(_temp.File("lint.py"), program);
        var lint = Bash(_show, $"python3 '{_temp.File("lint.py")}' '{Repo.Root}'");
        Assert.True(lint.Code == 0, lint.Text);
        Assert.Matches("[3-9] files [1-9]", lint.Text);
        foreach (var script in new[] { "compare.sh", "pre-commit" })
        {
            var syntax = Bash(_show, $"bash -n '{Repo.File("docs", "ci", script)}'");
            Assert.True(syntax.Code == 0, syntax.Text);
        }
    }

    private string Rig => Path.Combine(_show, "show.rig.jsonc");

    private string Capture => Path.Combine(_show, "show.pcapng");

    private string Base => _temp.File("baselines");

    private static string Command => $"dotnet '{Path.Combine(AppContext.BaseDirectory, "stageview.dll")}'";

    private static void Skip((int Code, string Text) tried, string what)
    {
        if (tried.Code != 0)
        {
            Assert.Skip($"{what} is missing");
        }
    }

    /// <summary>Each job in a folder of its own, then all that they left in the first, as a CI's artifacts come back together.</summary>
    private (int Code, string Text) Matrix(string[] machines, string capture)
    {
        foreach (var machine in machines)
        {
            foreach (var old in Directory.GetDirectories(machine))
            {
                Directory.Delete(old, true);
            }
        }

        for (var job = 1; job <= machines.Length; job++)
        {
            var part = Bash(machines[job - 1], Repo.File("docs", "ci", "compare.sh"), ("JOB", $"{job}"), ("JOBS", $"{machines.Length}"), ("RIG", Rig),
                ("CAPTURE", capture), ("BASE", Base), ("SIZE", "96x54"));
            Assert.True(part.Code == 0, part.Text);
            if (job > 1)
            {
                Bash(machines[0], $"cp -r '{machines[job - 1]}'/reports/* reports/ && cp -r '{machines[job - 1]}'/frames/* frames/");
            }
        }

        return Bash(machines[0], Repo.File("docs", "ci", "compare.sh") + " merge", ("JOBS", $"{machines.Length}"), ("BASE", Base));
    }

    private void Play(string cues, string capture)
    {
        var player = Path.Combine(AppContext.BaseDirectory, "stageview.dll");
        var run = Bash(_show, $"dotnet '{player}' cues show.rig.jsonc {cues} --out {capture}");
        Assert.True(run.Code == 0, run.Text);
    }

    private static (int Code, string Text) Bash(string folder, string line, params (string Name, string Value)[] variables)
    {
        var start = new ProcessStartInfo("bash", ["-c", line]) { WorkingDirectory = folder, RedirectStandardOutput = true, RedirectStandardError = true };
        start.Environment["STAGEVIEW"] = $"dotnet {Path.Combine(AppContext.BaseDirectory, "stageview.dll")}";
        start.Environment["STAGEVIEW_SIZE"] = "96x54";
        foreach (var (name, value) in variables)
        {
            start.Environment[name] = value;
        }

        using var process = Process.Start(start)!;
        var errors = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output + errors.GetAwaiter().GetResult());
    }
}
