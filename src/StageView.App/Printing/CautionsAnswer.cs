using StageView.Light.Cautions;
using StageView.Light.Measure;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Stage;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>Findings about people in the light, gathered over one or more moments.</summary>
internal sealed class CautionsAnswer(RigScene rig, CautionSettings settings, float flashes)
{
    private const string Deference =
        "These are reasons to look, worked out from the rig file and the levels; nothing here says that anything is safe. "
        + "For lasers the laser safety officer, and for all of it local code and licensed practice, decide. Keep the usual distances, masks and emergency stops; test with nobody in the path.";

    private const double Gap = 1.01;
    private readonly IReadOnlyList<WatchedVolume> _volumes =
        [.. rig.Volumes.Select(v => new WatchedVolume(v.Name, v.Kind == CautionVolumeKind.Crew, v.Pose, v.Size))];

    private readonly Dictionary<(CautionKind, string, int, int, int), Finding> _found = [];
    private readonly Dictionary<(int Fixture, string Channel), Strobe> _strobes = [];
    private readonly OcclusionScene _scene = new();
    private int _moments;
    private double _last;

    public bool Any => _found.Count + _strobes.Count > 0;

    public IReadOnlyCollection<Finding> Findings => _found.Values;

    /// <summary>Adds what one moment shows.</summary>
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
                _found[key] = f = new Finding();
            }

            f.Take(c, time.TotalSeconds, step * Gap);
        }

        Strobes(stage, time);
    }

    public void Print(bool json)
    {
        var findings = _found.Values.OrderBy(f => f.Worst.Kind).ThenBy(f => f.Worst.Volume.Name).ThenByDescending(f => f.Worst.Lux).ToList();
        var limit = LaserHazard.VisibleLimit(settings.ExposureSeconds);
        if (json)
        {
            Answers.WriteJson(new
            {
                rig = rig.Name,
                moments = _moments,
                volumes = _volumes.Select(v => v.Name),
                laserLimit = limit,
                findings = findings.Select(f => new
                {
                    kind = f.Worst.Kind,
                    volume = f.Worst.Volume.Name,
                    crew = f.Worst.Volume.IsCrew,
                    fixture = Fixture(rig, f.Worst.Fixture),
                    bounces = f.Worst.Bounces,
                    point = Array(f.Worst.Point),
                    pathMetres = f.Worst.PathMetres,
                    lux = f.Worst.Lux,
                    irradiance = f.Worst.Irradiance,
                    hazardDistance = f.Worst.HazardDistance,
                    seconds = f.Times.Select(t => new[] { t.From, t.To }),
                }),
                strobes = _strobes.Values,
                caution = Deference,
            });
            return;
        }

        if (_volumes.Count == 0)
        {
            Console.WriteLine($"{rig.File} names no audience or crew volumes; add them under \"volumes\", or nothing can be found");
        }

        var beams = findings.Where(f => f.Worst.Kind == CautionKind.Beam).ToList();
        var lasers = findings.Where(f => f.Worst.Kind != CautionKind.Beam).ToList();
        if (beams.Count > 0)
        {
            Answers.Table(
                ["beam of", "by way of", "into", "up to lx", "at x, y, z", "path m", "when s"],
                beams.Select(f => (string[])[Fixture(rig, f.Worst.Fixture), Way(f.Worst.Bounces), Into(f.Worst), F(f.Worst.Lux, "0"), Point(f.Worst.Point), F(f.Worst.PathMetres), When(f)]));
        }

        if (lasers.Count > 0)
        {
            Answers.Table(
                ["laser", "by way of", "what", "volume", "W/m2 there", "hazard distance m", "path m", "at x, y, z", "when s"],
                lasers.Select(f => (string[])
                [
                    Fixture(rig, f.Worst.Fixture), Way(f.Worst.Bounces), f.Worst.Kind == CautionKind.Laser ? "enters" : $"passes within {F(settings.LaserSeparation)} m of",
                    Into(f.Worst), F(f.Worst.Irradiance), F(f.Worst.HazardDistance), F(f.Worst.PathMetres), Point(f.Worst.Point), When(f),
                ]));
            Console.WriteLine($"laser limit used: {F(limit, "0.00")} W/m2 for {F(settings.ExposureSeconds, "0.###")} s of visible light (18 t^0.75 J/m2, IEC 60825-1); scanning, hot spots and instruments are not considered");
        }

        foreach (var s in _strobes.Values.OrderByDescending(s => s.Rate))
        {
            Console.WriteLine($"strobe: {s.Fixture} {s.Channel} at {F(s.Rate)} flashes a second, first at {F(s.From, "0.0")} s");
        }

        if (!Any)
        {
            Console.WriteLine($"nothing found by this check ({_moments} {(_moments == 1 ? "moment" : "moments")}, {_volumes.Count} volumes, beams from {F(settings.LeastLux, "0")} lx)");
        }

        Console.WriteLine(Deference);
    }

    private void Strobes(StageModel stage, TimeSpan time)
    {
        for (var i = 0; i < rig.Fixtures.Count; i++)
        {
            if (!rig.Fixtures[i].Mode.Channels.Any(c => c.Functions.Any(f => f.Attribute.Contains("Strobe", StringComparison.Ordinal))))
            {
                continue;
            }

            var state = stage.StateOf(i, time);
            foreach (var a in state.Attributes)
            {
                if (a.Attribute.Contains("Strobe", StringComparison.Ordinal) && a.Unit == "Hz" && a.Now > flashes
                    && state.Emitters.Any(e => e.BeamDegrees > 0 || e.FluxLumens > 0))
                {
                    var key = (i, a.Channel);
                    if (!_strobes.TryGetValue(key, out var known) || known.Rate < a.Now)
                    {
                        _strobes[key] = new Strobe(rig.Fixtures[i].Name, a.Channel, a.Now, known?.From ?? time.TotalSeconds);
                    }
                }
            }
        }
    }

    private static string Way(int bounces) => bounces switch { 0 => "direct", 1 => "1 mirror", _ => $"{bounces} mirrors" };

    private static string Into(Caution c) => c.Volume.Name + (c.Volume.IsCrew ? " (crew)" : "");

    private string When(Finding f) => _moments == 1 ? F(f.Times[0].From) : string.Join(" ", f.Times.Take(6).Select(t => t.From == t.To ? F(t.From) : $"{F(t.From)}-{F(t.To)}")) + (f.Times.Count > 6 ? " ..." : "");

    /// <summary>One way into one volume, at its strongest, and when.</summary>
    internal sealed class Finding
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

    internal sealed record Strobe(string Fixture, string Channel, float Rate, double From);
}
