using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Live.RigFile;
using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Stage.State;

namespace StageView.Live.Shown;

/// <summary>What a fixture does now, as the page shows it.</summary>
internal static class FixtureCards
{
    private const int MostChannels = 200;

    /// <param name="now">What is on stage; its rig has the fixture.</param>
    /// <param name="fixture">The fixture.</param>
    public static FixtureCard Of(OnStage now, Fixture fixture)
    {
        var state = now.Model.StateOf(fixture.Index, now.At, ShownFeed.Shutter);
        var moment = now.Model.MomentAt(now.At, ShownFeed.Shutter);
        var whyFixed = RigEditor.WhyFixed(now.Model.Rig, fixture);
        return new FixtureCard(
            fixture.Name, fixture.Number, fixture.Profile.Name, fixture.Mode.Name, string.Join(", ", fixture.Patch.Select(p => p.Start)),
            fixture.Source?.ToString() ?? "",
            Three(state.Emitters.Count > 0 && fixture.Carrier is not null ? state.Emitters[0].Position : fixture.Pose.Position),
            whyFixed is null,
            [.. state.Attributes.Take(MostChannels).Select(Channel)],
            Landings(now.Model.Rig, moment, fixture.Index),
            fixture.Profile.NotUnderstood.Take(5).ToList(),
            whyFixed)
        {
            States = [.. state.Attributes.Take(MostChannels)],
            AsOf = now.At,
            AsIf = [.. now.AsIf.Where(l => l.Fixture == fixture.Name).Select(l => l.Channel)],
        };
    }

    /// <summary>A value of a channel with its unit; empty for none.</summary>
    public static string Value(AttributeState a, float v) =>
        !float.IsFinite(v) ? ""
        : a.Unit.Length == 0 ? (v * 100).ToString("0", CultureInfo.InvariantCulture) + " %"
        : v.ToString(a.Unit is "deg" or "deg/s" ? "0.0" : "0.##", CultureInfo.InvariantCulture) + (a.Unit == "deg" ? "°" : " " + a.Unit);

    private static ChannelLine Channel(AttributeState a)
    {
        var moving = MathF.Abs(a.Now - a.Target) > .05f && double.IsFinite(a.ArrivesIn) && a.ArrivesIn > 0;
        var physical = a.Attribute.Length == 0 ? "" : moving ? $"{Value(a, a.Now)} → {Value(a, a.Target)}" : Value(a, a.Target);
        var doing = a.Set.Length > 0 ? a.Set + (a.IsSimulated ? "" : " (not simulated)") : !a.IsSimulated ? "not simulated"
            : a.IsDefault && a.Addresses.Count > 0 ? "default: not heard" : "";
        return new ChannelLine(a.Channel, a.Addresses.Count > 0 ? a.Addresses[0].ToString() : "", a.Raw, a.Highest, physical, doing);
    }

    private static List<LandingLine> Landings(RigScene rig, Moment moment, FixtureIndex fixture)
    {
        var scene = OcclusionScene.From(moment);
        var meter = new LightMeter(moment, scene);
        var lines = new List<LandingLine>();
        for (var i = 0; i < moment.Beams.Length && lines.Count < 12; i++)
        {
            var beam = moment.Beams.Span[i];
            if (beam.Fixture != fixture || !Light.Measure.Landings.TryFind(meter, scene, new BeamIndex(i), out var landing) || !landing.Mirror.IsNone)
            {
                continue;
            }

            var print = Footprints.Of(meter, landing);
            var path = moment.MirrorsOf(beam).ToArray().Select(m => Texts.Mirror(moment, m));
            lines.Add(new LandingLine(
                string.Join(", ", path), Three(landing.Point), Texts.Surface(moment, rig, landing.Instance, landing.Mirror),
                landing.ThrowMetres, print.Length, print.Width, landing.CentreLux, Angles.Degrees(landing.IncidenceRadians),
                landing.CentreLux / MathF.Max(.01f, Trig.Cos(landing.IncidenceRadians)), print.SpotAtFieldAngle));
        }

        return lines;
    }

    private static float[] Three(Vector3 v) => [v.X, v.Y, v.Z];
}
