using StageView.Ground.Indices;
using StageView.Light.Cautions;
using StageView.Light.Measure;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Stage;

namespace StageView.Show.Questions;

/// <summary>One way into one volume.</summary>
/// <param name="Worst">The caution at its strongest.</param>
/// <param name="Times">From when to when it was found, show time, s.</param>
public sealed record CautionFound(Caution Worst, IReadOnlyList<(double From, double To)> Times);

/// <summary>A strobe that flashes faster than allowed.</summary>
/// <param name="Fixture">Its name.</param>
/// <param name="Channel">The channel that says so.</param>
/// <param name="Rate">The fastest seen, flashes a second.</param>
/// <param name="From">When it was first seen, show time, s.</param>
public sealed record StrobeFound(string Fixture, string Channel, float Rate, double From);

/// <summary>Reasons to look; never a verdict that something is safe.</summary>
/// <param name="Moments">Moments looked at.</param>
/// <param name="Volumes">The volumes watched.</param>
/// <param name="Settings">From what on something counts.</param>
/// <param name="LaserLimit">Irradiance that lasers were held against, W/m2.</param>
/// <param name="Findings">By kind and volume, the strongest first.</param>
/// <param name="Strobes">As they were found.</param>
public sealed record CautionsAnswer(
    int Moments, IReadOnlyList<WatchedVolume> Volumes, CautionSettings Settings, double LaserLimit, IReadOnlyList<CautionFound> Findings,
    IReadOnlyList<StrobeFound> Strobes)
{
    /// <summary>Whether anything was found.</summary>
    public bool Any => Findings.Count + Strobes.Count > 0;
}

/// <summary>Gathers findings about people in the light over one or more moments.</summary>
/// <param name="rig">The rig.</param>
/// <param name="settings">From what on something counts.</param>
/// <param name="flashes">Strobe rate above which it counts, flashes a second.</param>
public sealed class CautionsQuestion(RigScene rig, CautionSettings settings, float flashes)
{
    private const double Gap = 1.01;
    private readonly IReadOnlyList<WatchedVolume> _volumes = Volumes(rig);
    private readonly Dictionary<(CautionKind Kind, string Volume, FixtureIndex Fixture, int Emitter, int Bounces), Way> _found = [];
    private readonly Dictionary<(int Fixture, string Channel), StrobeFound> _strobes = [];
    private readonly OcclusionScene _scene = new();
    private int _moments;
    private double _last;

    /// <summary>The audience and crew volumes of a rig.</summary>
    public static IReadOnlyList<WatchedVolume> Volumes(RigScene rig) =>
        [.. rig.Volumes.Select(v => new WatchedVolume(v.Name, v.Kind == CautionVolumeKind.Crew, v.Pose, v.Size))];

    /// <summary>Adds what one moment shows. Times must not decrease from call to call.</summary>
    /// <param name="stage">Whose moment.</param>
    /// <param name="time">Show time.</param>
    /// <param name="bounces">Mirrors a beam may meet, 0 to 4; the rig's own number unless given.</param>
    public void Look(StageModel stage, TimeSpan time, int? bounces)
    {
        var moment = stage.MomentAt(time, default, bounces);
        _scene.Set(moment);
        var step = _moments++ == 0 ? 0 : time.TotalSeconds - _last;
        _last = time.TotalSeconds;
        foreach (var c in CautionCheck.Find(new LightMeter(moment, _scene), _volumes, settings))
        {
            var key = (c.Kind, c.Volume.Name, c.Fixture, c.Emitter, c.Bounces);
            if (!_found.TryGetValue(key, out var f))
            {
                _found[key] = f = new Way();
            }

            f.Take(c, time.TotalSeconds, step * Gap);
        }

        Strobes(stage, time);
    }

    /// <summary>What was found so far.</summary>
    public CautionsAnswer Answer() => new(
        _moments, _volumes, settings, LaserHazard.VisibleLimit(settings.ExposureSeconds),
        [.. _found.Values.OrderBy(f => f.Worst.Kind).ThenBy(f => f.Worst.Volume.Name).ThenByDescending(f => f.Worst.Lux)
            .Select(f => new CautionFound(f.Worst, f.Times))],
        [.. _strobes.Values]);

    private void Strobes(StageModel stage, TimeSpan time)
    {
        for (var i = 0; i < rig.Fixtures.Count; i++)
        {
            if (!rig.Fixtures[i].Mode.Channels.Any(c => c.Functions.Any(f => f.Attribute.Contains("Strobe", StringComparison.Ordinal))))
            {
                continue;
            }

            var state = stage.StateOf(new FixtureIndex(i), time);
            foreach (var a in state.Attributes)
            {
                if (a.Attribute.Contains("Strobe", StringComparison.Ordinal) && a.Unit == "Hz" && a.Now > flashes
                    && state.Emitters.Any(e => e.BeamDegrees > 0 || e.FluxLumens > 0))
                {
                    var key = (i, a.Channel);
                    if (!_strobes.TryGetValue(key, out var known) || known.Rate < a.Now)
                    {
                        _strobes[key] = new StrobeFound(rig.Fixtures[i].Name, a.Channel, a.Now, known?.From ?? time.TotalSeconds);
                    }
                }
            }
        }
    }

    /// <summary>One way into one volume, as it grows.</summary>
    private sealed class Way
    {
        public Caution Worst { get; private set; } = null!;

        public List<(double From, double To)> Times { get; } = [];

        public void Take(Caution c, double time, double gap)
        {
            if (Worst is null || c.Lux + c.Irradiance > Worst.Lux + Worst.Irradiance)
            {
                Worst = c;
            }

            if (Times.Count > 0 && time - Times[^1].To <= gap)
            {
                Times[^1] = (Times[^1].From, time);
            }
            else
            {
                Times.Add((time, time));
            }
        }
    }
}
