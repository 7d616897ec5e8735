using System.Diagnostics;
using System.Xml.Linq;

namespace StageView.App.Tests.Verbs;

/// <summary>
/// The files of docs/ci, run as they lie there: the matrix' shell part in several folders with its merge, a pipeline in a fresh clone by a program that runs
/// such pipelines, the hook and large-file storage in repositories; the workflow read by its own language service.
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
            Accept(Base);
            File.WriteAllText(Path.Combine(_show, "new.cues.jsonc"), Cues.Replace("\"dimmer\": 0.8", "\"dimmer\": 0.5", StringComparison.Ordinal));
            Play("new.cues.jsonc", "new.pcapng");
            var merged = Matrix(machines, Path.Combine(_show, "new.pcapng"));
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

    /// <summary>gitlab-ci-local (npm, MIT) reads the file by the service's own schema and runs its jobs.</summary>
    [Fact]
    public void The_pipeline_runs_in_a_fresh_clone_and_leaves_a_list_of_tests()
    {
        Tools.Need("rsync", "rsync");
        var peers = Peers();
        Accept(Path.Combine(_show, "baselines"));
        Assert.True(Bash(_temp.Path, $"mkdir work && mv show work/ && cp '{Ci("compare.sh")}' work/show/ && cp '{Ci("gitlab-ci.yml")}' work/.gitlab-ci.yml "
            + $"&& cd work && {Commit} && cd .. && git clone -q work clone && cd clone "
            + "&& git remote set-url origin https://example.org/crew/show.git").Code == 0);
        var run = Bash(_temp.File("clone"), $"HOME='{_temp.Path}' node '{peers}/node_modules/.bin/gitlab-ci-local' --force-shell-executor "
            + "--shell-isolation --concurrency 1 --variable \"STAGEVIEW=$STAGEVIEW\"");
        Assert.True(run.Code == 0, run.Text);
        Assert.Contains("json schema validated", run.Text, StringComparison.Ordinal);
        Assert.Contains("3 frames: 3 identical", run.Text, StringComparison.Ordinal);
        var tests = XDocument.Load(Path.Combine(_temp.File("clone"), "report", "junit.xml")).Descendants("testcase").ToList();
        Assert.True(tests.Count >= 3);
        Assert.DoesNotContain(tests, t => t.Elements().Any(e => e.Name == "failure" || e.Name == "error"));
    }

    [Fact]
    public void Baselines_in_large_file_storage_that_were_not_fetched_are_told_and_then_compare()
    {
        Tools.Need("git-lfs", "git-lfs");
        Accept(Path.Combine(_show, "baselines"));
        var repository = Bash(_show,
            $"git init -q . && git lfs install --local >/dev/null && cp '{Ci("gitattributes")}' .gitattributes && {Commit} && git lfs ls-files");
        Assert.True(repository.Code == 0, repository.Text);
        Assert.Contains("show.pcapng", repository.Text, StringComparison.Ordinal);
        Assert.Contains(".png", repository.Text, StringComparison.Ordinal);

        var clone = _temp.File("clone");
        Assert.True(Bash(_temp.Path, $"GIT_LFS_SKIP_SMUDGE=1 git clone -q 'file://{_show}' clone").Code == 0);
        var drawn = Bash(clone, $"{Command} snap show.rig.jsonc --capture show.pcapng --cues --against baselines --out frames");
        Assert.True(drawn.Code == 2, drawn.Text);
        Assert.Contains("show.pcapng: holds only a pointer of git's large-file storage", drawn.Text, StringComparison.Ordinal);
        var compared = Bash(clone, $"{Command} compare baselines '{First}'");
        Assert.True(compared.Code == 2, compared.Text);
        Assert.Contains(".png: holds only a pointer of git's large-file storage", compared.Text, StringComparison.Ordinal);

        var pulled = Bash(clone, "git lfs install --local >/dev/null && git lfs pull");
        Assert.True(pulled.Code == 0, pulled.Text);
        Assert.Equal(0, CommandRun.Of("compare", Path.Combine(clone, "baselines"), First).ExitCode);
        Assert.Equal(File.ReadAllBytes(Capture), File.ReadAllBytes(Path.Combine(clone, "show.pcapng")));
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

    /// <summary>The language service of the workflows' own makers (npm, @actions/workflow-parser, MIT) finds nothing, and finds what is wrong.</summary>
    [Fact]
    public void The_workflow_is_one_by_its_own_language_service()
    {
        var peers = Peers();
        var read = $"cd '{peers}' && node --no-warnings --experimental-loader ./json.mjs workflow.mjs ";
        var right = Bash(_show, $"{read} '{Ci("matrix.yml")}' '{Repo.File("docs", "video", "ci-matrix.yml")}'");
        Assert.True(right.Code == 0, right.Text);
        Assert.Contains("2 jobs, 0 errors", right.Text, StringComparison.Ordinal);
        File.WriteAllText(_temp.File("wrong.yml"), File.ReadAllText(Ci("matrix.yml")).Replace("needs: part", "needs: parts", StringComparison.Ordinal));
        var wrong = Bash(_show, $"{read} '{_temp.File("wrong.yml")}'");
        Assert.True(wrong.Code == 1, wrong.Text);
        Assert.Contains("parts", wrong.Text, StringComparison.Ordinal);
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

    private string First => _temp.File("first");

    private const string Commit =
        "git init -q . && git config user.name Someone && git config user.email someone@example.org && git add . && git commit -qm first";

    private static string Ci(string name) => Repo.File("docs", "ci", name);

    /// <summary>Frames of the show as baselines.</summary>
    private void Accept(string baselines)
    {
        Assert.Equal(0, CommandRun.Of("snap", Rig, "--capture", Capture, "--cues", "--size", "96x54", "--out", First).ExitCode);
        Assert.Equal(0, CommandRun.Of("accept", baselines, First, "*", "--why", "first").ExitCode);
    }

    /// <summary>The folder of other people's programs.</summary>
    private string Peers()
    {
        var install = Bash(_show, $"bash '{Repo.File("tests", "independent", "install.sh")}'");
        Assert.SkipWhen(install.Code != 0, "the readers of CI files are missing (tests/independent/install.sh)");
        return install.Text.Trim();
    }

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
