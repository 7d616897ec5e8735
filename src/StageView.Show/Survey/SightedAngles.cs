using System.Globalization;
using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.Heads;
using StageView.Stage.Programs;
using StageView.Stage.Survey;

namespace StageView.Show.Survey;

/// <summary>Pan and tilt of sightings: as they were typed, or from levels by way of the rig's patch.</summary>
internal static class SightedAngles
{
    /// <exception cref="StopException">A sighting has no pan and tilt, and the capture doesn't tell.</exception>
    public static IReadOnlyList<UsedSighting> Of(RigScene rig, IReadOnlyList<Sighting> sightings, SurveyAsked asked, Action<string>? tell)
    {
        var untyped = sightings.FirstOrDefault(s => s.Read is null);
        if (asked.Capture is not { } file)
        {
            return untyped is null ? [.. sightings.Select(s => new UsedSighting(s, s.Read!.Value.Pan, s.Read!.Value.Tilt))]
                : throw Wrong(untyped, "has no \"pan\" and \"tilt\": write both in degrees, or name --capture FILE to take them from, or --listen");
        }

        if (untyped is null)
        {
            tell?.Invoke($"nothing is taken from {file}: every sighting has its pan and tilt");
        }

        using var source = new CaptureShow(rig, file);
        var used = new List<UsedSighting>();
        foreach (var s in sightings)
        {
            var (pan, tilt) = s.Read ?? From(source, s, TimeOf(source, s, asked));
            used.Add(new UsedSighting(s, pan, tilt));
        }

        if (source.Problem is { } problem)
        {
            tell?.Invoke(problem);
        }

        return used;
    }

    /// <summary>Where a head stands at a time.</summary>
    /// <param name="stage">Its levels so far.</param>
    /// <param name="fixture">The head.</param>
    /// <param name="time">Show time.</param>
    /// <param name="angles">Pan and tilt of its axes, degrees.</param>
    /// <param name="why">Why that can't be told; empty when it can.</param>
    public static bool TryRead(StageModel stage, Fixture fixture, TimeSpan time, out (double Pan, double Tilt) angles, out string why)
    {
        var state = stage.StateOf(fixture.Index, time);
        var (pan, tilt) = (state.Attributes.FirstOrDefault(a => a.Op == AttributeOp.Pan), state.Attributes.FirstOrDefault(a => a.Op == AttributeOp.Tilt));
        angles = (pan?.Now ?? 0, tilt?.Now ?? 0);
        why = pan is null || tilt is null ? "neither pan nor tilt is in force; type them instead"
            : pan.IsDefault || tilt.IsDefault ? "no levels were heard for it by then"
            : pan.ArrivesIn > 0 || tilt.ArrivesIn > 0
                ? string.Create(CultureInfo.InvariantCulture, $"it is still on its way for {Math.Max(pan.ArrivesIn, tilt.ArrivesIn):0.0} s")
            : "";
        if (why.Length == 0)
        {
            // What else may turn it (axes without end, further axes) shows in where the stage has its beam.
            var beam = PanTilt.Beam(fixture, angles.Pan, angles.Tilt)!.Value;
            why = state.Emitters.Any(e => (e.Position - beam.Position).Length() < .002f && (e.Direction - beam.Direction).Length() < .001f) ? ""
                : "more than its pan and tilt turns it; survey with other heads";
        }

        return why.Length == 0;
    }

    private static TimeSpan TimeOf(CaptureShow source, Sighting s, SurveyAsked asked)
    {
        var text = s.Time.Length > 0 ? s.Time : asked.At;
        try
        {
            return text is null ? source.End() : source.Times([text])[0].Time;
        }
        catch (StopException e) when (s.Time.Length > 0)
        {
            throw Wrong(s, e.Message);
        }
    }

    private static (double Pan, double Tilt) From(CaptureShow source, Sighting s, TimeSpan time)
    {
        source.FeedTo(time);
        return TryRead(source.Stage, s.Fixture, time, out var angles, out var why) ? angles
            : throw Wrong(s, string.Create(CultureInfo.InvariantCulture, $"{s.Fixture.Name} at {time.TotalSeconds:0.###} s of the capture: {why}"));
    }

    private static StopException Wrong(Sighting s, string text) => StopException.Wrong($"{s.Place}: {text}");
}
