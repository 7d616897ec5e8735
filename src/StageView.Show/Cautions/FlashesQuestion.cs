using StageView.Light.Cautions;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Show.Sources;

namespace StageView.Show.Cautions;

/// <summary>Follows flashes and bright light over a show, at every place and of every fixture.</summary>
public static class FlashesQuestion
{
    /// <summary>Scenery and mirrors that move are looked at anew so often, s; light at every moment.</summary>
    public const double RoomSeconds = 0.1;

    /// <summary>An answer that nothing could be checked, or null when the rig has a place to look from.</summary>
    public static FlashesAnswer? Nothing(RigScene rig, FlashesAsked asked)
    {
        ArgumentNullException.ThrowIfNull(rig);
        return WatchPlaces.Of(rig).Count > 0 ? null : new FlashesAnswer { Rig = rig.Name, Asked = asked, NotChecked = [.. WatchPlaces.Missing(rig)] };
    }

    /// <param name="source">The show.</param>
    /// <param name="asked">What is asked.</param>
    /// <param name="cues">The show's cues by time; empty when they aren't known.</param>
    /// <param name="tell">Told now and then up to which show time it has come, s.</param>
    /// <param name="stop">Ends it.</param>
    /// <exception cref="StopException">What is asked makes no sense.</exception>
    public static FlashesAnswer Answer(
        ShowSource source, FlashesAsked asked, IReadOnlyList<CueTime> cues, Action<double>? tell = null, CancellationToken stop = default)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(asked);
        if (asked.Fault() is { } fault)
        {
            throw StopException.Wrong(fault);
        }

        var rig = source.Stage.Rig;
        if (Nothing(rig, asked) is { } nothing)
        {
            return nothing;
        }

        var places = WatchPlaces.Of(rig);
        var seats = places.Where(p => p.Camera is null).ToDictionary(p => p, p => new PlaceWatch(p.Name, p.Eye, p.LookAt - p.Eye, asked.Limits));
        // Cameras that differ in nothing but exposure see the same.
        var views = places.Where(p => p.Camera is not null)
            .GroupBy(p => (p.Camera!.Position, p.Camera.Target, p.Camera.Up, p.Camera.VerticalFieldRadians)).Select(g => g.ToList()).ToList();
        var pictures = new Dictionary<WatchPlace, PictureWatch>();
        foreach (var view in views)
        {
            var field = PictureWatch.FieldOf(view[0].Camera!);
            view.ForEach(p => pictures[p] = new PictureWatch(p.Camera!, asked.Limits, field));
        }

        var strobes = new FixtureStrobes(source.Stage, asked.Limits);
        var run = new Run(seats.Values.ToList(), views.Select(v => v.ConvertAll(p => pictures[p])).ToList());
        var count = (int)Math.Floor(((asked.To - asked.From) / asked.Step) + 1e-6) + 1;
        var step = TimeSpan.FromSeconds(asked.Step);
        for (var i = 0; i < count; i++)
        {
            stop.ThrowIfCancellationRequested();
            var seconds = asked.From + (i * asked.Step);
            var time = TimeSpan.FromSeconds(seconds);
            source.FeedTo(time);
            // What a shutter lets through between two moments counts: each is the mean since the last.
            var moment = source.Stage.MomentAt(time, step, asked.Bounces);
            strobes.Add(seconds, moment);
            run.Add(seconds, moment);
            tell?.Invoke(seconds);
        }

        var found = places.Select(p => seats.TryGetValue(p, out var seat) ? new PlaceFlashes(p, seat.Wcag, seat.Broadcast, seat.Comfort)
            : new PlaceFlashes(p, pictures[p].Wcag, pictures[p].Broadcast, null)).ToList();
        var times = strobes.Times();
        return new FlashesAnswer
        {
            Rig = rig.Name,
            Asked = asked,
            Moments = count,
            Looked = run.Looked,
            Places = found,
            Strobes = times,
            Cues = FlashesByCue.Of(cues, asked, found, times),
            Checked = Looked(rig, asked, seats.Count, pictures.Count),
            NotChecked = [.. WatchPlaces.Missing(rig), .. NotLooked(asked)],
        };
    }

    private static List<CheckedThing> Looked(RigScene rig, FlashesAsked asked, int seats, int cameras)
    {
        var list = new List<CheckedThing>();
        if (seats > 0)
        {
            list.Add(new CheckedThing("general and red flashes seen from seats, by WCAG 2.2 and ITU-R BT.1702", seats, asked.Limits.Flash));
            list.Add(new CheckedThing("illuminance at the eye and luminances seen from seats, as curves with the worst moments", seats,
                [asked.Limits.Lux]));
        }

        if (cameras > 0)
        {
            list.Add(new CheckedThing("general and red flashes in cameras' pictures, by WCAG 2.2 and ITU-R BT.1702", cameras, asked.Limits.Flash));
        }

        list.Add(new CheckedThing(
            "how often each fixture's light flashes, and the rate that levels tell its shutter", rig.Fixtures.Count, asked.Limits.Strobe));
        return list;
    }

    private static IEnumerable<UncheckedThing> NotLooked(FlashesAsked asked)
    {
        yield return new("other seats and other ways to look", "only the places listed, each looking at one point with a field of 80 x 60 degrees");
        yield return new(FormattableString.Invariant($"flashes faster than {1 / (4 * asked.Step):0.#} a second"),
            "light is read in steps; only a rate that levels tell a shutter is known beyond that");
        yield return new("lasers' light in the haze and on surfaces", "lasers count in the rates of fixtures alone");
        yield return new("light between matt surfaces, pixel surfaces in mirrors, shadows in the haze", "light is followed from fixtures and over mirrors");
        yield return new("stripes and other regular patterns", "WCAG 2.2 and ITU-R BT.1702 are followed for flashes alone");
        yield return new("red by chromaticity, and sequences over five seconds", "the rules' further conditions are not followed");
        yield return new("what a screen makes of a camera's picture",
            "pictures are taken as linear up to white at the camera's exposure, and as wide as 7 by 4; how large they are seen isn't known");
        yield return new("what moves between tenths of a second", "scenery and mirrors that move are looked at anew ten times a second");
        yield return new("fog, house lights, follow spots by hand, screens and lamps that the rig file doesn't name", "they are not in the levels");
    }

    /// <summary>The places as they are fed.</summary>
    private sealed class Run(List<PlaceWatch> seats, List<List<PictureWatch>> views)
    {
        private readonly OcclusionScene _scene = new();
        private MomentKeys? _last;
        private double _roomAt = double.NegativeInfinity;
        private UInt128 _room;

        public int Looked { get; private set; }

        public void Add(double seconds, Moment moment)
        {
            var keys = MomentKeys.Of(moment);
            if (keys.Room != _room && seconds - _roomAt >= RoomSeconds - 1e-9)
            {
                _scene.Set(moment);
                (_room, _roomAt) = (keys.Room, seconds);
            }

            keys = keys.Within(_room);
            if (_last is { } last && last.All == keys.All && last.Room == keys.Room)
            {
                Parallel.For(0, seats.Count, i => seats[i].Again(seconds));
                Parallel.ForEach(views, view => view.ForEach(p => p.Add(seconds)));
                return;
            }

            _last = keys;
            Looked++;
            var meter = new LightMeter(moment, _scene, MeterSettings.Default with { LensSize = false });
            Parallel.For(0, seats.Count + views.Count, i =>
            {
                if (i < seats.Count)
                {
                    seats[i].Add(seconds, meter, _scene, keys);
                    return;
                }

                var view = views[i - seats.Count];
                view[0].Field.Read(meter, _scene, keys);
                view.ForEach(p => p.Add(seconds));
            });
        }
    }
}
