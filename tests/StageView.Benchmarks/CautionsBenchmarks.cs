using System.Diagnostics;
using System.Numerics;
using StageView.Benchmarks.Light;
using StageView.Light.Cautions;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Measure;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Benchmarks;

/// <summary>Cones of light against volumes with people, over the demo's capture.</summary>
public static class CautionsBenchmarks
{
    private const float LeastLux = 500;

    public static IEnumerable<Figure> Run()
    {
        const string show = "scenes/foundry/foundry";
        var rig = RigFiles.Open(show + ".rig.jsonc", null, null);
        var volumes = rig.Volumes.Select(v => new WatchedVolume(v.Name, v.Kind == CautionVolumeKind.Crew, v.Pose, v.Size)).ToList();
        using var source = new CaptureShow(rig, show + ".pcapng");
        var scene = new OcclusionScene();
        var (exact, raster, whole, seat) = (0L, 0L, 0L, 0L);
        var place = new PlaceWatch("seat", new Vector3(0, -10, 1.6f), Vector3.UnitY);
        var (found, seen, beams, moments) = (0, 0, 0, 0);
        var end = source.End().TotalSeconds;
        for (var at = 0.0; at <= end; at += 0.5)
        {
            var time = TimeSpan.FromSeconds(at);
            source.FeedTo(time);
            var moment = source.Stage.MomentAt(time, default);
            scene.Set(moment);
            var meter = new LightMeter(moment, scene);
            beams += moment.Beams.Length;
            moments++;
            // In turn, so that what else the machine does meets both; the first moments warm both up.
            var start = Stopwatch.GetTimestamp();
            var ours = Count(meter, volumes);
            var middle = Stopwatch.GetTimestamp();
            var theirs = ConeRaster.Count(meter, volumes, LeastLux);
            if (moments > 20)
            {
                exact += middle - start;
                var third = Stopwatch.GetTimestamp();
                raster += third - middle;
                CautionCheck.Check(meter, volumes);
                var fourth = Stopwatch.GetTimestamp();
                whole += fourth - third;
                place.Add(at, meter, scene);
                seat += Stopwatch.GetTimestamp() - fourth;
            }

            found += ours;
            seen += theirs;
        }

        if (found < seen)
        {
            Console.Error.WriteLine($"bench: the exact question found {found} beams in volumes, the raster {seen}");
        }

        var each = exact / (double)Stopwatch.Frequency / (moments - 20);
        yield return new Figure("cautions.cones", each * 1e3, "ms/moment", "points .4 m apart", exact / (double)raster);
        yield return new Figure("cautions.check", whole / (double)Stopwatch.Frequency / (moments - 20) * 1e3, "ms/moment", "cautions.cones",
            whole / (double)exact);
        yield return new Figure("cautions.seat", seat / (double)Stopwatch.Frequency / (moments - 20) * 1e3, "ms/moment", "cautions.cones",
            seat / (double)exact);
        yield return new Figure("cautions.cones.found", found, "beams", "points .4 m apart", found / (double)Math.Max(1, seen));
        yield return new Figure("cautions.cones.beams", beams / (double)moments, "beams/moment");
    }

    private static int Count(LightMeter meter, List<WatchedVolume> volumes)
    {
        var found = 0;
        foreach (var volume in volumes)
        {
            Parallel.For(0, meter.Moment.Beams.Length, i =>
            {
                if (BeamSearch.TryFind(meter, i, volume, LeastLux, out _))
                {
                    Interlocked.Increment(ref found);
                }
            });
        }

        return found;
    }
}
