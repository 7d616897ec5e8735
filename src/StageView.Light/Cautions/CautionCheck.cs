using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Measure;
using StageView.Light.Moments;

namespace StageView.Light.Cautions;

/// <summary>Finds light and lasers that enter volumes in which people may be.</summary>
public static class CautionCheck
{
    /// <summary>Every finding of one moment, with what was looked at and what was not.</summary>
    /// <param name="meter">The moment and what stands in the way.</param>
    /// <param name="volumes">Where people may be.</param>
    /// <param name="limits">Every limit used; null for the defaults.</param>
    /// <param name="cores">At most so many threads at once; -1 for as many as there are.</param>
    /// <exception cref="ArgumentException">A limit lies out of its range.</exception>
    public static CautionReport Check(LightMeter meter, IReadOnlyList<WatchedVolume> volumes, CautionLimits? limits = null, int cores = -1)
    {
        ArgumentNullException.ThrowIfNull(meter);
        ArgumentNullException.ThrowIfNull(volumes);
        limits ??= CautionLimits.Default;
        if (limits.Fault() is { } fault)
        {
            throw new ArgumentException(fault, nameof(limits));
        }

        var found = new List<Caution>();
        TotalSearch? total = null;
        foreach (var volume in volumes)
        {
            total ??= new TotalSearch(meter);
            Beams(meter, volume, (float)limits.LeastLux, cores, found);
            Surfaces(total, volume, (float)limits.LeastLux, found);
            LaserCautions.Find(meter.Moment, volume, limits, found);
        }

        return new CautionReport
        {
            Found = found,
            Limits = limits,
            Checked = volumes.Count == 0 ? [] : Looked(meter.Moment, volumes.Count, limits),
            NotChecked = NotLooked(meter, volumes.Count),
        };
    }

    private static List<CheckedThing> Looked(Moment moment, int volumes, CautionLimits limits)
    {
        var into = volumes == 1 ? "1 volume" : $"{volumes} volumes";
        return
        [
            new CheckedThing($"beams, direct and off mirrors, into {into}", moment.Beams.Length, [limits.Lux]),
            new CheckedThing($"pixel surfaces and globes into {into}", moment.PixelSurfaces.Length, [limits.Lux]),
            new CheckedThing($"all light together in {into}", moment.Beams.Length + moment.PixelSurfaces.Length, [limits.Lux]),
            new CheckedThing($"laser rays into and near {into}", moment.Lasers.Length, limits.Laser),
        ];
    }

    private static List<UncheckedThing> NotLooked(LightMeter meter, int volumes)
    {
        if (volumes == 0)
        {
            return [new UncheckedThing("light and lasers where people may be", "the rig names no volumes")];
        }

        var not = new List<UncheckedThing>
        {
            new("light scattered by walls, floors and haze", "only light straight from fixtures and off mirrors is followed"),
            new("pixel surfaces in mirrors", "only beams and lasers are followed over mirrors"),
            new("lasers that scan while their profile names no figure", "their ray is taken as standing still"),
            new("gaps in obstacles narrower than 5 cm", "smaller ones count as closed"),
        };
        if (meter.Scene is null)
        {
            not.Add(new UncheckedThing("what stands in the way", "no obstacles were given: light is taken to pass through them"));
        }

        if (!meter.Settings.Reflected)
        {
            not.Add(new UncheckedThing("beams off mirrors", "the meter leaves them out"));
        }

        if (!meter.Settings.PixelSurfaces)
        {
            not.Add(new UncheckedThing("pixel surfaces and globes", "the meter leaves them out"));
        }

        return not;
    }

    private static void Beams(LightMeter meter, WatchedVolume volume, float least, int cores, List<Caution> found)
    {
        var beams = meter.Moment.Beams;
        var best = new Caution?[beams.Length];
        Parallel.For(0, beams.Length, new ParallelOptions { MaxDegreeOfParallelism = cores }, i =>
        {
            var b = beams.Span[i];
            if ((b.Bounces == 0 || meter.Settings.Reflected) && BeamSearch.TryFind(meter, i, volume, least, out var light))
            {
                best[i] = new Caution
                {
                    Kind = CautionKind.Beam,
                    Volume = volume,
                    Fixture = b.Fixture,
                    Emitter = b.Emitter,
                    Bounces = b.Bounces,
                    Point = light.Point,
                    PathMetres = MathF.Max(0, Vector3.Distance(light.Point, b.Apex) - b.StartDistance),
                    Lux = light.Lux,
                    AtMostLux = light.AtMostLux,
                };
            }
        });
        found.AddRange(best.OfType<Caution>());
    }

    private static void Surfaces(TotalSearch search, WatchedVolume volume, float least, List<Caution> found)
    {
        Caution Of(CautionKind kind, FixtureIndex fixture, TotalLight light) => new()
        {
            Kind = kind,
            Volume = volume,
            Fixture = fixture,
            Emitter = -1,
            Bounces = 0,
            Point = light.Point,
            PathMetres = 0,
            Lux = light.FacingLux,
            AllRoundLux = light.AllRoundLux,
            AtMostLux = light.AtMostLux,
        };

        foreach (var fixture in search.LitFixtures)
        {
            if (search.TryFindSurfaces(volume, fixture, least, out var light))
            {
                found.Add(Of(CautionKind.Surface, fixture, light));
            }
        }

        if (search.TryFind(volume, least, out var all))
        {
            found.Add(Of(CautionKind.Total, FixtureIndex.None, all));
        }
    }
}
