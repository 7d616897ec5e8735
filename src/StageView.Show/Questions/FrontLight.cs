using System.Numerics;
using StageView.Light.Grids;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.Heads;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.Show.Questions;

/// <summary>A performer's position that front light doesn't serve as asked.</summary>
public sealed record FrontLightFinding(string Place, Vector3 Position, Vector3 Normal, float Lux, double Modelling, string Why)
{
    /// <summary>The piece of scenery that the position lies inside of; else empty.</summary>
    public string Inside { get; init; } = "";

    /// <summary>What of <see cref="Lux"/> comes from matt surfaces, lx; null where that is left out.</summary>
    public float? Indirect { get; init; }

    /// <summary>Fixtures that could reach it, brightest first; null when that wasn't asked.</summary>
    public IReadOnlyList<FrontLightReach>? Reach { get; set; }
}

/// <param name="Fixture">Its name.</param>
/// <param name="Lux">What it alone gives there at full, zoom and colour at their defaults, in the quantity asked, lx.</param>
/// <param name="Aimed">Whether it would have to be aimed there (its pan and tilt allow it), or hangs so already.</param>
public sealed record FrontLightReach(string Fixture, float Lux, bool Aimed);

/// <summary>Which positions fall under a level or outside a modelling ratio, and what could help.</summary>
internal static class FrontLight
{
    /// <summary>Modelling is cylindrical over horizontal illuminance at the position (EN 12464-1, clause on modelling).</summary>
    public static IEnumerable<FrontLightFinding> Check(LightMeter meter, string place, LuxMap map, double least, (double Low, double High) range)
    {
        for (var i = 0; i < map.Lux.Length; i++)
        {
            var position = map.Grid.Point(i % map.Grid.CountU, i / map.Grid.CountU);
            var flat = meter.At(position, Vector3.UnitZ).Lux;
            var ratio = flat > 0 ? meter.Cylindrical(position).Lux / flat : 0;
            var dark = map.Lux[i] < least;
            var shaped = ratio < range.Low || ratio > range.High;
            if (dark || shaped)
            {
                var why = (dark ? $"under {Texts.F(least, "0.#")} lx" : "") + (dark && shaped ? ", " : "") + (shaped ? "modelling" : "");
                var inside = Inside(meter.Moment, position);
                yield return new FrontLightFinding(
                    place, position, map.Grid.Normal, map.Lux[i], ratio, inside.Length > 0 ? $"{why}: lies inside {inside}" : why)
                { Inside = inside, Indirect = map.Indirect?[i] };
            }
        }
    }

    /// <summary>Name of the piece of scenery that a point lies inside of; else empty.</summary>
    public static string Inside(Moment moment, Vector3 point) => Enclosure.Of(moment, point) is { IsNone: false } piece
        ? moment[piece].Name is { IsNone: false } n && n.Value < moment.SceneryNames.Count ? moment.SceneryNames[n.Value] : "something" : "";

    /// <summary>Tries each candidate alone at full: as it hangs, or aimed at the position where it can pan or tilt.</summary>
    public static void Reach(RigScene rig, string candidates, IReadOnlyList<FrontLightFinding> findings, Quantity quantity, MeterSettings settings)
    {
        if (!FixtureSelection.TryFind(rig, candidates, out var fixtures, out var why))
        {
            throw StopException.Wrong($"--reach {candidates}: {why}");
        }

        var found = findings.Select(_ => new List<FrontLightReach>()).ToArray();
        foreach (var fixture in fixtures)
        {
            var moves = PanTilt.Beam(fixture, 0, 0) is not null;
            LightMeter? still = moves ? null : Alone(rig, fixture, null, settings);
            for (var i = 0; i < findings.Count; i++)
            {
                var f = findings[i];
                if (moves && PanTilt.Aim(fixture, f.Position).Count == 0)
                {
                    continue;
                }

                var meter = still ?? Alone(rig, fixture, f.Position, settings);
                var lux = GridMeter.At(meter, f.Position, f.Normal, quantity).Lux;
                if (lux >= 1)
                {
                    found[i].Add(new FrontLightReach(fixture.Name, lux, moves));
                }
            }
        }

        for (var i = 0; i < findings.Count; i++)
        {
            findings[i].Reach = [.. found[i].OrderByDescending(r => r.Lux)];
        }
    }

    private static LightMeter Alone(RigScene rig, Fixture fixture, Vector3? aim, MeterSettings settings)
    {
        var levels = new LevelsEncoder(rig);
        FullShow.PutToFull(levels, fixture, out _);
        if (aim is { } p && PanTilt.Aim(fixture, p) is [var way, ..])
        {
            levels.TrySet(fixture, "Pan", way.PanDegrees, out _);
            levels.TrySet(fixture, "Tilt", way.TiltDegrees, out _);
        }

        var stage = new StageModel(rig);
        levels.SendTo(stage, TimeSpan.Zero);
        var moment = stage.MomentAt(TimeSpan.Zero, default, 0);
        return new LightMeter(moment, OcclusionScene.From(moment), settings with { PixelSurfaces = false });
    }
}
