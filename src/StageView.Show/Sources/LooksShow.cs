using StageView.Rig.Pieces;

namespace StageView.Show.Sources;

/// <summary>Looks one after another, a second each, in the order of their names: a show without a capture.</summary>
public sealed class LooksShow : ShowSource
{
    private const string Ending = ".look.jsonc";
    private readonly TimeSpan _end;
    private readonly List<string> _problems = [];

    /// <param name="rig">The rig.</param>
    /// <param name="folder">Where they lie.</param>
    /// <param name="lenient">As for <see cref="LookShow.Read"/>.</param>
    /// <exception cref="StopException">The folder has no looks, or one of them has mistakes.</exception>
    public LooksShow(RigScene rig, string folder, bool lenient = false)
        : base(rig)
    {
        var files = Directory.Exists(folder) ? Directory.EnumerateFiles(folder, "*" + Ending).Order(StringComparer.Ordinal).ToList() : [];
        if (files.Count == 0)
        {
            throw StopException.Wrong($"{folder}: holds no look files (*{Ending})");
        }

        var names = new List<(string Name, double At)>();
        foreach (var file in files)
        {
            var levels = LookShow.Read(rig, file, out var cannot, lenient);
            if (cannot is not null)
            {
                _problems.Add(cannot);
            }

            names.Add((Path.GetFileName(file)[..^Ending.Length], names.Count));
            levels.SendTo(Stage, TimeSpan.FromSeconds(names[^1].At));

            // Where it stands at the end of its second, for whoever asks when it was left.
            levels.SendTo(Stage, TimeSpan.FromSeconds(names.Count - .001));
        }

        (Looks, _end) = (names, TimeSpan.FromSeconds(names.Count - .001));
    }

    /// <summary>Name and time of each look, s.</summary>
    public IReadOnlyList<(string Name, double At)> Looks { get; }

    /// <summary>What single fixtures can't do, a line each, or null.</summary>
    public override string? Problem => _problems.Count == 0 ? null : string.Join(Environment.NewLine, _problems);

    public override TimeSpan End() => _end;
}
