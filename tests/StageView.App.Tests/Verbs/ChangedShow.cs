using System.Globalization;
using System.Text.RegularExpressions;

namespace StageView.App.Tests.Verbs;

/// <summary>The demo show, and a copy of it in which one head's pan, one profile's mode, one cue's time and one truss's trim were changed.</summary>
public sealed class ChangedShow : IDisposable
{
    private readonly TempFolder _temp = new();

    public ChangedShow()
    {
        Rig = Repo.File("scenes", "foundry", "foundry.rig.jsonc");
        Capture = _temp.File("old.pcapng");
        NewRig = CopyRig();
        NewVenue = _temp.File("low.venue.jsonc", """{ "name": "A low house", "move": [{ "what": "upstage truss", "trim": 7.9 }] }""");
        NewCapture = _temp.File("new.pcapng");
        var cues = File.ReadAllText(Repo.File("scenes", "foundry", "foundry.cues.jsonc"));
        Play(Rig, _temp.File("old.cues.jsonc", cues), Capture);
        // One head's pan, in the cue that lights it.
        cues = Once(cues, """{ "fixtures": "119-124", "dimmer": 0.75, "colour": "#4f86ff" },""",
            """{ "fixtures": "119-124", "dimmer": 0.75, "colour": "#4f86ff" }, { "fixtures": "120", "pan": 60 },""");
        LateCapture = _temp.File("late.pcapng");
        Play(Rig, _temp.File("late.cues.jsonc", Later(cues, 1.5)), LateCapture);
        // One cue's time.
        cues = Once(cues, "\"time\": 17, \"name\": \"mirror moment\"", "\"time\": 17.5, \"name\": \"mirror moment\"");
        Play(Rig, _temp.File("new.cues.jsonc", cues), NewCapture);
    }

    public string Rig { get; }

    public string Capture { get; }

    public string NewRig { get; }

    /// <summary>A house in which the upstage truss hangs 40 cm lower.</summary>
    public string NewVenue { get; }

    public string NewCapture { get; }

    /// <summary>The show with the turned head, 1.5 s later throughout and without timecode that would say so.</summary>
    public string LateCapture { get; }

    public string Folder => _temp.Path;

    public void Dispose() => _temp.Dispose();

    /// <summary>Every time but the start's moved on; pictures' times go along.</summary>
    private static string Later(string cues, double seconds) => Regex.Replace(cues, "(\"(?:time|from|to)\": )([0-9.]+)(?=[,\\s}])", m =>
        double.Parse(m.Groups[2].Value, CultureInfo.InvariantCulture) is var t && t == 0 ? m.Value
        : m.Groups[1].Value + (t + seconds).ToString("0.###", CultureInfo.InvariantCulture));

    private static string Once(string text, string old, string now)
    {
        Assert.Equal(2, text.Split(old).Length);
        return text.Replace(old, now, StringComparison.Ordinal);
    }

    /// <summary>The rig with the front profiles in their mode with a dimmer alone.</summary>
    private string CopyRig()
    {
        var scenes = Directory.CreateDirectory(Path.Combine(Folder, "scenes", "foundry")).FullName;
        var types = Directory.CreateDirectory(Path.Combine(Folder, "assets", "fixtures")).FullName;
        foreach (var file in Directory.GetFiles(Repo.File("scenes", "foundry"), "*.rig.jsonc"))
        {
            File.Copy(file, Path.Combine(scenes, Path.GetFileName(file)));
        }

        foreach (var file in Directory.GetFiles(Repo.File("assets", "fixtures"), "*", SearchOption.AllDirectories))
        {
            var to = Path.Combine(types, Path.GetRelativePath(Repo.File("assets", "fixtures"), file));
            Directory.CreateDirectory(Path.GetDirectoryName(to)!);
            File.Copy(file, to);
        }

        var rig = Path.Combine(scenes, "foundry.rig.jsonc");
        var text = File.ReadAllText(rig);
        text = Once(text, "\"profile\": \"front-profile\",", "\"profile\": \"front-profile\", \"mode\": \"Dimmer\",");
        File.WriteAllText(rig, text);
        return rig;
    }

    private static void Play(string rig, string cues, string capture) =>
        Tools.Run("dotnet", Path.Combine(AppContext.BaseDirectory, "stageview.dll"), "cues", rig, cues, "--out", capture);
}
