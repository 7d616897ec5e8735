using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Stage.Colour;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.Show.Sources;

/// <summary>Levels from a look file or the defaults, with some fixtures put to full on top.</summary>
public sealed class FullShow : ShowSource
{
    private static readonly ColourWanted White = ColourWanted.Of(Vector3.One);
    private readonly string? _cannot;

    /// <param name="rig">The rig.</param>
    /// <param name="look">A look file, or null for the defaults.</param>
    /// <param name="full">Selections whose dimmers go to full, shutters open; fixtures that mix their colour turn white where they were dark.</param>
    /// <exception cref="StopException">The look or a selection is wrong: every problem is in the message, a line each.</exception>
    public FullShow(RigScene rig, string? look, IReadOnlyList<string> full)
        : base(rig)
    {
        Levels = look is null ? new LevelsEncoder(rig) : LookShow.Read(rig, look, out _cannot);
        var wrong = new List<string>();
        foreach (var selection in full)
        {
            if (!FixtureSelection.TryFind(rig, selection, out var found, out var why))
            {
                wrong.Add("--full: " + why);
                continue;
            }

            foreach (var fixture in found)
            {
                if (!PutToFull(Levels, fixture, out why))
                {
                    _cannot = _cannot is null ? "--full: " + why : $"{_cannot}{Environment.NewLine}--full: {why}";
                }
            }
        }

        if (wrong.Count > 0)
        {
            throw StopException.Wrong(string.Join(Environment.NewLine, wrong));
        }

        Levels.SendTo(Stage, TimeSpan.Zero);
    }

    /// <summary>What single fixtures can't do, a line each, or null.</summary>
    public override string? Problem => _cannot;

    /// <summary>
    /// Dimmer to full, or whatever dims the fixture; what mixes its colour out of nothing, or has pixels alone, turns white where it was dark.
    /// </summary>
    public static bool PutToFull(LevelsEncoder levels, Fixture fixture, out string why)
    {
        ArgumentNullException.ThrowIfNull(levels);
        var mixers = fixture.Mode.Channels.Where(c => c.Functions.Any(f => f.Attribute.StartsWith("ColorAdd", StringComparison.Ordinal))).ToList();
        if (LevelsEncoder.AttributesOf(fixture).Contains("Shutter1"))
        {
            levels.TrySet(fixture, "Shutter1", 1, out _);
        }

        var lit = levels.TryDim(fixture, 1, out why);
        if (fixture.Mode.PixelBlocks.Count > 0 || (mixers.Count > 0 && mixers.TrueForAll(c => levels.RawOf(fixture, c) == 0)))
        {
            lit |= levels.TrySetColour(fixture, White, out why);
        }

        return lit;
    }

    public LevelsEncoder Levels { get; }

    public override TimeSpan End() => TimeSpan.Zero;
}
