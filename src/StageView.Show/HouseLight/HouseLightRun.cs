using System.Globalization;
using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Ground.Words;
using StageView.Light.Geometry;
using StageView.Light.Grids;
using StageView.Light.Measure;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;
using StageView.Stage;
using StageView.Stage.Looks;

namespace StageView.Show.HouseLight;

/// <summary>Chooses, aims and sets the lanterns of a house so that faces on stage are lit.</summary>
public sealed class HouseLightRun
{
    /// <summary>What is held to within this share is held: levels are whole percents, consoles' steps finer or coarser.</summary>
    private const float Close = .0005f;

    /// <summary>A lantern serves a position to which it gives such a share of its light.</summary>
    private const double Serving = .1;

    private readonly RigScene _rig;
    private readonly HouseLightAsked _asked;
    private readonly Quantity _quantity;
    private readonly IReadOnlyList<ActingPosition> _positions;
    private readonly IReadOnlyList<Lantern> _lanterns;
    private readonly (List<LightColumn> Columns, Hindered[] At)[] _aims;
    private readonly HangAdvice _advice;

    private HouseLightRun(RigScene rig, HouseLightAsked asked)
    {
        (_rig, _asked, _quantity) = (rig, asked, asked.Quantity(rig));
        var (lanterns, moment) = Lanterns.Lit(rig, Lanterns.Choose(rig, asked.Also));
        var scene = OcclusionScene.From(moment);
        _lanterns = lanterns;
        _positions = new ActingPlaces(rig, scene, asked.Face).Find(asked.On);
        var aims = new LanternAims(rig, asked, _positions, moment, scene);
        _aims = new (List<LightColumn>, Hindered[])[lanterns.Count];
        Parallel.For(0, lanterns.Count, i => _aims[i] = aims.Of(lanterns[i], i));
        var heights = lanterns.Select(l => l.Root.Position.Z).ToList();
        _advice = new HangAdvice(rig, asked, moment, scene, MathF.Max(heights.Max(), _positions.Max(p => p.Point.Z) + 3));
    }

    /// <summary>The answer; the same for the same input, to the bit.</summary>
    /// <exception cref="StopException">Something is named that isn't there, or a value is out of range.</exception>
    public static HouseLightAnswer Answer(RigScene rig, HouseLightAsked asked)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(asked);
        Check(asked.Least is >= 1 and <= 100_000, "--least takes 1 to 100000 lx");
        Check(asked.Face is >= .5f and <= 2.5f, "--face takes 0.5 to 2.5 m");
        Check(asked.CameraDegrees is >= 0 and <= 45, "--camera-angle takes 0 to 45 degrees");
        return new HouseLightRun(rig, asked).Found();
    }

    private static void Check(bool holds, string why)
    {
        if (!holds)
        {
            throw StopException.Wrong(why);
        }
    }

    private HouseLightAnswer Found()
    {
        var (fit, taken, levels) = Choice();
        var order = Enumerable.Range(0, taken.Count).OrderBy(i => taken[i].Lantern).ToList();
        taken = [.. order.Select(i => taken[i])];
        var percents = Percents([.. order.Select(i => levels[i])]);
        var aimed = Aimed(taken);
        var look = LookOf(taken, percents);
        var meter = Measured(aimed, look);
        var lux = _positions.Select(p => GridMeter.At(meter, p.Point, Vector3.UnitZ, _quantity).Lux).ToList();

        // Rounded levels may miss by a step of the dimmer: once all up by what is missing where it was to be held.
        var sums = fit.At(taken, percents);
        var low = Enumerable.Range(0, lux.Count).Where(p => sums.Face[p] >= 1 && lux[p] < _asked.Least * (1 - Close)).ToList();
        if (low.Count > 0)
        {
            var up = low.Max(p => _asked.Least / lux[p]);
            percents = Percents([.. percents.Select(x => Math.Min(1, x * up))]);
            (look, sums) = (LookOf(taken, percents), fit.At(taken, percents));
            meter = Measured(aimed, look);
            lux = [.. _positions.Select(p => GridMeter.At(meter, p.Point, Vector3.UnitZ, _quantity).Lux)];
        }

        var positions = _positions.Select((_, p) => Position(p, lux[p], meter, taken, percents, sums)).ToList();
        var unheld = positions.Select((row, p) => (Row: row, At: new Unheld(_positions[p], row.ShortBy, row.FromLeft, row.FromRight,
            (float)(sums.Flat[p] * _asked.Least), (float)(sums.Cylinder[p] * _asked.Least)))).Where(u => !u.Row.IsHeld).Select(u => u.At).ToList();
        return new HouseLightAnswer
        {
            Tour = _rig.Name, Venue = _rig.Venue, Asked = _asked, Look = look, Aimed = aimed,
            Positions = [.. positions.OrderByDescending(p => p.ShortBy).ThenBy(p => p.IsShaped).ThenBy(p => p.Lux)],
            Used = [.. taken.Select((c, i) => Used(c, percents[i], sums))],
            Unused = [.. Enumerable.Range(0, _lanterns.Count).Where(i => taken.All(c => c.Lantern != i)).Select(Unused)],
            ToHang = _advice.For(unheld),
            Notes = Notes(),
        };
    }

    /// <summary>The first way to weigh modelling by which all positions are held, else the one by which most are.</summary>
    private (LevelFit Fit, IReadOnlyList<LightColumn> Taken, IReadOnlyList<double> Levels) Choice()
    {
        List<LightColumn> columns = [.. _aims.SelectMany(a => a.Columns)];
        (LevelFit Fit, IReadOnlyList<LightColumn> Taken, IReadOnlyList<double> Levels)? best = null;
        var most = -1;
        foreach (var strict in (double[])[1, 10, 100])
        {
            var fit = new LevelFit(_positions.Count, _asked.Range, strict);
            var (taken, levels) = new LanternChoice(columns, fit).Find();
            var held = fit.Held(taken, levels);
            if (held > most)
            {
                (best, most) = ((fit, taken, levels), held);
            }

            if (held == _positions.Count)
            {
                break;
            }
        }

        return best!.Value;
    }

    private static double[] Percents(double[] levels) => [.. levels.Select(x => Math.Clamp(Math.Ceiling((x * 100) - .02) / 100, .01, 1))];

    private RigScene Aimed(IReadOnlyList<LightColumn> taken)
    {
        var fixtures = _rig.Fixtures.ToArray();
        foreach (var c in taken.Where(c => _lanterns[c.Lantern].Kind == LanternKind.ByHand))
        {
            var f = _lanterns[c.Lantern].Fixture;
            fixtures[f.Index.Value] = f with { Pose = VenueAims.Aimed(f.Pose, c.Target) };
        }

        return _rig with { Fixtures = fixtures };
    }

    private string LookOf(IReadOnlyList<LightColumn> taken, double[] levels) =>
        HouseLightFiles.Look(_rig, _asked, [.. taken.Select((c, i) => (_lanterns[c.Lantern].Fixture, c, levels[i]))]);

    private LightMeter Measured(RigScene aimed, string look)
    {
        var problems = new List<RigProblem>();
        var stage = new StageModel(aimed);
        LookFile.Read(aimed, look, problems, "the look").SendTo(stage, TimeSpan.Zero);
        var moment = stage.MomentAt(TimeSpan.Zero);
        return problems.Count == 0 ? new LightMeter(moment, OcclusionScene.From(moment), _asked.Settings)
            : throw StopException.Wrong(string.Join(Environment.NewLine, problems));
    }

    private FacePosition Position(int p, float lux, LightMeter meter, IReadOnlyList<LightColumn> taken, double[] levels, in LevelFit.Sums sums)
    {
        var at = _positions[p];
        var flat = meter.At(at.Point, Vector3.UnitZ).Lux;
        var ratio = flat > 0 ? meter.Cylindrical(at.Point).Lux / flat : 0;
        var (low, high) = _asked.Range;
        var key = Enumerable.Range(0, taken.Count).Select(i => (Column: taken[i], Share: FaceOf(taken[i], p) * levels[i])).Where(k => k.Share > 0)
            .OrderByDescending(k => Math.Round(k.Share, 4)).Select(k => k.Column).FirstOrDefault();
        var lacks = lux < _asked.Least * (1 - Close) ? (float)_asked.Least - lux : 0;
        var shaped = ratio >= low - LevelFit.Close && ratio <= high + LevelFit.Close;
        return new FacePosition
        {
            Name = at.Name, Point = at.Point, Lux = lux, ShortBy = lacks, Modelling = ratio, IsShaped = shaped,
            Key = key is null ? "" : _lanterns[key.Lantern].Fixture.Name,
            KeyAt = key is null ? default : LightAngles.Of(at.Point, ActingPosition.Facing(_quantity, at.Point), key.Lens),
            FromLeft = (float)(_asked.Least * (sums.Face[p] - sums.Side[p]) / 2), FromRight = (float)(_asked.Least * (sums.Face[p] + sums.Side[p]) / 2),
            Why = lacks > 0 ? WhyDark(p, taken) : shaped ? ""
                : ratio < low ? "modelling too low: the light comes from too far above" : "modelling too high: the light comes in too flat",
        };
    }

    private static double FaceOf(LightColumn c, int p) => Array.BinarySearch(c.At, p) is >= 0 and var k ? c.Face[k] : 0;

    private string WhyDark(int p, IReadOnlyList<LightColumn> taken)
    {
        var said = new List<string>();
        var free = 0;
        foreach (var reason in _aims.Select((a, i) => (a.At[p], _lanterns[i])).Where(r => r.Item2.Unfit.Length == 0).Select(r => r.Item1)
            .GroupBy(h => h.Said).OrderByDescending(g => g.Count()).ThenBy(g => g.Key, StringComparer.Ordinal))
        {
            if (reason.Key.Length > 0)
            {
                said.Add($"{reason.Key}: {Counted.Of(reason.Count(), "lantern")}");
            }
            else
            {
                free = reason.Count();
            }
        }

        if (free > 0)
        {
            var best = _aims.SelectMany(a => a.Columns).GroupBy(c => c.Lantern).Select(g => g.Max(c => FaceOf(c, p))).Where(e => e > 0)
                .OrderDescending().ToList();
            said.Insert(0, best.Count == 0 ? $"as it hangs it doesn't light it: {Counted.Of(free, "lantern")}" : string.Create(CultureInfo.InvariantCulture,
                $"{Counted.Of(best.Count, "lantern")} can light it, each alone at full with {best[^1] * _asked.Least:0} to {best[0] * _asked.Least:0} lx"));
        }

        return string.Join("; ", said);
    }

    private UsedLantern Used(LightColumn c, double level, LevelFit.Sums sums)
    {
        var lantern = _lanterns[c.Lantern];
        var over = c.Aim < 0 ? 0 : c.Target.Z - _positions[c.Aim].Point.Z;
        return new UsedLantern
        {
            Fixture = lantern.Fixture.Name, Number = lantern.Fixture.Number, Hang = lantern.Fixture.Position, Kind = lantern.Kind,
            Address = lantern.Fixture.Patch is [var first, ..] ? first.Start.ToString() : "",
            AimedAt = c.Aim < 0 ? "as it hangs" : _positions[c.Aim].Name
                + (over > 0 ? string.Create(CultureInfo.InvariantCulture, $", {over:0.0} m over it") : ""),
            Target = c.Target, Pan = c.Pan, Tilt = c.Tilt, Zoom = c.Zoom, Level = (float)level, Throw = Vector3.Distance(c.Lens, c.Target),
            Turn = Angles.Degrees(Trig.Atan2(c.Axis.X, c.Axis.Y)), Down = Angles.Degrees(Trig.Asin(Math.Clamp(-c.Axis.Z, -1, 1))),
            Serves = ActingPosition.Runs(c.At.Where((p, k) => c.Face[k] * level >= Serving * sums.Face[p]).Select(p => _positions[p])),
        };
    }

    private UnusedLantern Unused(int i)
    {
        var lantern = _lanterns[i];
        var hindered = _aims[i].At.Where((h, p) => _positions[p].IsAim && h.What != Hindrance.Free).ToList();
        var all = _positions.Count(p => p.IsAim);
        var why = lantern.Unfit.Length > 0 ? lantern.Unfit
            : string.Join("; ", hindered.GroupBy(h => h.Said).OrderByDescending(g => g.Count()).Select(g =>
                g.Count() == all ? g.Key : $"{g.Key} at {g.Count()} of {all}"));
        return new UnusedLantern(lantern.Fixture.Name, lantern.Fixture.Position,
            why.Length == 0 ? "not needed" : hindered.Count < all && lantern.Unfit.Length == 0 ? $"not needed ({why})" : why);
    }

    private List<string> Notes()
    {
        var said = new List<string>
        {
            string.Create(CultureInfo.InvariantCulture,
                $"front light alone, {_asked.Measure}, {(_asked.ClearAir ? "in clear air" : $"through haze of {_rig.Haze.ExtinctionPerMetre:0.000}/m")}"),
            "beams as cones of their field angle: what spills beyond it is not held off anybody; cautions with the look tells how much",
            "what keeps a cone from a volume is looked for along 97 of its rays: a gap between them isn't seen",
        };
        if (!_rig.Volumes.Any(v => v.Kind == CautionVolumeKind.Audience))
        {
            said.Add("no volume of the audience is named: nothing was held off people");
        }

        if (!_rig.NamesCameras)
        {
            said.Add("no camera is named: nothing was held off a lens");
        }

        return said;
    }
}
