using System.Globalization;
using StageView.Light.Cautions;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Live.Night;
using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Show.Cautions;

namespace StageView.Live.Shown;

/// <summary>Looks every other second whether what is shown shines where people may be. Reasons to look; never a verdict that something is safe.</summary>
internal sealed class CautionWatch(ShownStage shown, TimeProvider clock, NightJournal journal)
{
    private const string Usual = "The laser safety officer, local code and licensed practice decide.";
    private static readonly TimeSpan Lasts = TimeSpan.FromSeconds(2);
    private volatile IReadOnlyList<CautionLine> _lines = [];
    private byte[] _copyBuffer = [];
    private long _at;
    private int _busy;

    /// <summary>What the last look found.</summary>
    public IReadOnlyList<CautionLine> Lines => _lines;

    /// <summary>The check takes a while with many beams; it runs beside everything else, one at a time.</summary>
    public void Look()
    {
        if ((_at != 0 && clock.GetElapsedTime(_at) < Lasts) || Interlocked.Exchange(ref _busy, 1) == 1)
        {
            return;
        }

        _at = clock.GetTimestamp();
        Task.Run(() =>
        {
            try
            {
                var (rig, copy) = shown.Read(now => (now.Model.Rig, Copy(now.Model.MomentAt(now.At, ShownFeed.Shutter))));
                var volumes = CautionsQuestion.Volumes(rig);
                var found = volumes.Count == 0 ? [] : CautionCheck.Find(new LightMeter(copy, OcclusionScene.From(copy)), volumes, new CautionSettings());
                _lines = [.. found
                    .GroupBy(c => (c.Kind, c.Volume.Name, c.Fixture.Value))
                    .Select(g => Line(rig, g.Key.Kind, g.MaxBy(c => c.Lux + c.Irradiance)!))
                    .Take(40)];
            }
            catch (Exception e)
            {
                journal.Say("show", "the caution check failed: " + e.Message);
            }
            finally
            {
                Volatile.Write(ref _busy, 0);
            }
        });
    }

    /// <summary>A moment that outlives the stage's next ones.</summary>
    private Moment Copy(Moment moment)
    {
        var length = MomentBytes.Write(moment, ref _copyBuffer);
        return MomentBytes.Read(_copyBuffer.AsSpan(0, length), moment);
    }

    private static CautionLine Line(RigScene rig, CautionKind kind, Caution c)
    {
        var name = !c.Fixture.IsNone && c.Fixture.Value < rig.Fixtures.Count ? rig.Fixtures[c.Fixture.Value].Name : "a fixture";
        var way = c.Bounces == 0 ? "" : c.Bounces == 1 ? " off a mirror" : string.Create(CultureInfo.InvariantCulture, $" off {c.Bounces} mirrors");
        var who = c.Volume.IsCrew ? "crew" : "audience";
        return kind switch
        {
            CautionKind.Beam => new CautionLine("beam",
                string.Create(CultureInfo.InvariantCulture, $"{name}{way} shines into {c.Volume.Name} ({who}) with up to {c.Lux:0} lx"),
                "Glare and flashes into eyes: local code and licensed practice decide.", c.Fixture.Value),
            CautionKind.Laser => new CautionLine("laser",
                string.Create(CultureInfo.InvariantCulture,
                    $"{name}{way} enters {c.Volume.Name} ({who}): {c.Irradiance:0.#} W/m² there, hazard distance {c.HazardDistance:0} m"), Usual,
                    c.Fixture.Value),
            _ => new CautionLine("laser", string.Create(CultureInfo.InvariantCulture, $"{name}{way} passes close to {c.Volume.Name} ({who})"), Usual,
                c.Fixture.Value),
        };
    }
}
