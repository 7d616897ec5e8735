using System.Numerics;
using StageView.Ground.Words;
using StageView.Light.Cautions;
using StageView.Rig.Pieces;
using static StageView.Show.Questions.Texts;

namespace StageView.Show.Cautions;

/// <summary>A reason to look, in words.</summary>
/// <param name="Kind">light, laser, strobe or moving.</param>
/// <param name="Text">One sentence.</param>
/// <param name="Usual">Who decides.</param>
/// <param name="Fixture">Whose it is, by its place in the rig; -1 for all light together.</param>
/// <param name="At">When it was strongest, show time, s.</param>
/// <param name="From">When it was first found, show time, s.</param>
/// <param name="To">When it was last found, show time, s.</param>
/// <param name="Point">Where, m; of a strobe where it hangs.</param>
public sealed record CautionRow(string Kind, string Text, string Usual, int Fixture, double At, double From, double To, Vector3 Point)
{
    /// <summary>What tells it from the other rows of an answer, and stays as its numbers grow.</summary>
    public required string Key { get; init; }
}

/// <summary>The words of cautions, made once for the command, the page and the paperwork.</summary>
public static class CautionWords
{
    /// <summary>What stands under every answer.</summary>
    public const string Deference =
        "These are reasons to look, worked out from the rig file and the levels; nothing here says that anything is safe. "
        + "For lasers the laser safety officer, for loads the rigger, and for all of it local code and licensed practice, decide. Keep the usual distances, "
        + "masks and emergency stops; test with nobody in the path.";

    private const string Glare = "Glare and flashes into eyes: local code and licensed practice decide.";
    private const string Laser = "The laser safety officer, local code and licensed practice decide.";
    private const string Strobe = "Flashing light can bring on seizures: warn people, and ask what local code allows.";
    /// <summary>What is said of everything that moves.</summary>
    public const string Rigger = "Worked out from levels, no interlock: the rigger, the operator in sight of it and local code decide.";

    /// <summary>The same list that the tables hold, strongest first within each kind.</summary>
    public static IReadOnlyList<CautionRow> Of(RigScene rig, CautionsAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(answer);
        var places = PlacesAtRest.Roots(rig);
        return
        [
            .. answer.Light.Select(f => Light(rig, answer, f)),
            .. answer.Strobes.Select(s => new CautionRow("strobe",
                $"{s.Fixture} flashes {F(s.Rate)} times a second" + (s.By.Length > 0 ? $", by {s.By}" : ", by its light"), Strobe, s.Index, s.From, s.From,
                s.To, places[s.Index].Position) { Key = $"strobe|{s.Index}" }),
            .. answer.Moving.Select(m => new CautionRow("moving", Moves(m), Rigger, m.Fixture, m.At, m.From, m.To, m.Point)
            {
                Key = $"moving|{m.Piece}|{m.Beside}",
            }),
        ];
    }

    /// <summary>What can't be said, where nothing could be checked; null where it could.</summary>
    public static string? NothingChecked(RigScene rig, CautionsAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(answer);
        return answer.AnythingChecked ? null
            : $"{rig.File} names no audience or crew volumes: light and lasers where people may be could not be checked; add them under \"volumes\"";
    }

    /// <summary>What was looked at, one clause each, with the limits used.</summary>
    public static IEnumerable<string> Looked(CautionsAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        return answer.Checked.Select(c =>
            $"{c.What} ({c.Count}): " + string.Join(", ", c.Limits.Select(l => $"{l.Key} {F(l.Value, "0.####")} {l.Unit}".TrimEnd())));
    }

    /// <summary>What was not looked at, one clause each.</summary>
    public static IEnumerable<string> NotLooked(CautionsAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        return answer.NotChecked.Select(n => $"{n.What}: {n.Why}");
    }

    /// <summary>Such as "batten (12 emitters)"; empty for all light together.</summary>
    public static string Who(RigScene rig, CautionFound found)
    {
        ArgumentNullException.ThrowIfNull(found);
        return found.Worst.Fixture.IsNone ? ""
            : Fixture(rig, found.Worst.Fixture) + (found.Emitters > 1 ? $" ({Counted.Of(found.Emitters, "emitter")})" : "");
    }

    /// <summary>Such as "1 mirror".</summary>
    public static string Way(int bounces) => bounces == 0 ? "direct" : Counted.Of(bounces, "mirror");

    /// <summary>What a moving piece did, without a full stop.</summary>
    public static string Moves(MovingFound m)
    {
        ArgumentNullException.ThrowIfNull(m);
        var speed = $"at up to {F(m.MetresPerSecond, "0.00")} m/s";
        var who = m.Count > 1 ? $"{m.Piece} and {m.Count - 1} more" : m.Piece;
        if (!m.IsVolume)
        {
            var could = m.CouldBeMetres < m.Metres - 0.005f ? $" (perhaps {F(m.CouldBeMetres, "0.00")} m between two looks)" : "";
            return m.Metres <= 0 ? $"{who} and {m.Beside} touch or cross {speed}" : $"{who} and {m.Beside} come within {F(m.Metres, "0.00")} m{could} {speed}";
        }

        var verb = m.Count > 1 ? "move" : "moves";
        return m.Metres <= 0 ? $"{who} {verb} through {m.Beside} {speed}"
            : m.IsOver ? $"{who} {verb} over {m.Beside} {speed}, {F(m.Metres, "0.00")} m from it at the least"
            : $"{who} {verb} within {F(m.Metres, "0.00")} m of {m.Beside} {speed}";
    }

    private static CautionRow Light(RigScene rig, CautionsAnswer answer, CautionFound f)
    {
        var c = f.Worst;
        var way = c.Bounces == 0 ? "" : c.Bounces == 1 ? " off a mirror" : $" off {c.Bounces} mirrors";
        var volume = $"{c.Volume.Name} ({(c.Volume.IsCrew ? "crew" : "audience")})";
        var name = Who(rig, f);
        var (kind, text, usual) = c.Kind switch
        {
            CautionKind.Beam => ("light", $"{name}{way} shines into {volume} with up to {F(c.Lux, "0")} lx", Glare),
            CautionKind.Surface => ("light", $"{name} lights {volume} by its pixels or globes with up to {F(c.AllRoundLux, "0")} lx from all round", Glare),
            CautionKind.Total => ("light", $"all light together gives {volume} up to {F(c.AllRoundLux, "0")} lx from all round", Glare),
            CautionKind.Laser => ("laser",
                $"{name}{way} enters {volume}: {F(c.Irradiance, "0.#")} W/m2 there, hazard distance {F(c.HazardDistance, "0")} m", Laser),
            _ => ("laser",
                $"{name}{way} passes closer than {F(answer.Limits.LaserHeightMetres)} m above or {F(answer.Limits.LaserSideMetres)} m beside {volume}",
                Laser),
        };
        return new CautionRow(kind, text, usual, c.Fixture.Value, f.At, f.Times[0].From, f.Times[^1].To, c.Point)
        {
            Key = $"{c.Kind}|{c.Volume.Name}|{c.Fixture.Value}|{c.Bounces}",
        };
    }
}
