using System.Globalization;
using StageView.Ground.Indices;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Stage.Levels;
using StageView.Stage.Looks;
using StageView.Wire.Clock;

namespace StageView.Stage.Cues;

/// <summary>
/// Plays a cue file against a rig, tick by tick: cues that fade and stay, chases and pixel patterns on top of them. The same file and rig give the same
/// levels to the byte.
/// </summary>
public sealed class CuePlayer
{
    private readonly RigScene _rig;
    private readonly LevelsEncoder _goal;
    private readonly LookSetter _setter;
    private readonly CueClock _clock;
    private readonly List<(double Time, SourceNode Cue, string Name)> _cues = [];
    private readonly List<CueChase> _chases = [];
    private readonly List<CuePixels> _layers = [];
    private readonly ChannelFade[][] _fades;
    private readonly PixelFade?[] _pixels;
    private readonly ILookup<FixtureIndex, Fixture> _sharers;
    private int _next;

    internal CuePlayer(RigScene rig, SourceNode root, ProblemList problems)
    {
        _rig = rig;
        _goal = new LevelsEncoder(rig);
        Levels = new LevelsEncoder(rig);
        Rate = root.IntegerOr("rate", 40);
        Seed = root.IntegerOr("seed", 1);
        ArtNet = [.. root.NumbersOf("artNet").Select(u => (int)u)];
        Sender = SenderOf(root.Get("sending"), problems);
        _clock = CueClock.Of(root, problems);
        TimecodeStart = _clock.Start;
        Length = TimeSpan.FromSeconds(_clock.TryRead(root.Get("length")!, problems, out var length) ? length : 0);
        Sound = CueSound.Read(root, _clock, problems);
        foreach (var picture in root.ListOf("pictures"))
        {
            _clock.TryRead(picture.Get("time")!, problems, out _);
        }

        var scopes = CueScope.Of(root, _clock, problems);
        foreach (var scope in scopes)
        {
            foreach (var cue in scope.Node.ListOf("cues"))
            {
                if (scope.Clock.TryRead(cue.Get("time")!, problems, out var time))
                {
                    _cues.Add((time, cue, scope.NameOf(cue)));
                }
            }
        }

        _cues = [.. _cues.OrderBy(c => c.Time)];
        Cues = [.. _cues.Select(c => new NamedCue(c.Name, c.Time, "", c.Cue.TextOr("note")))];
        var points = LookFile.Points(root, rig);
        Try(points, problems);
        var probe = new LevelsEncoder(rig);
        foreach (var scope in scopes)
        {
            _chases.AddRange(scope.Node.ListOf("chases").Select(c => CueChase.Read(probe, c, scope.Clock, Seed, problems)).OfType<CueChase>());
            _layers.AddRange(scope.Node.ListOf("pixels").Select(p => CuePixels.Read(rig, p, scope.Clock, Seed, problems)).OfType<CuePixels>());
        }

        _setter = new LookSetter(_goal, points, LookSetter.MostOfAShow);
        _sharers = rig.Fixtures.ToLookup(f => f.PatchOwner);
        _fades = [.. rig.Fixtures.Select(f => f.Mode.Channels.Select(c => new ChannelFade(_goal.RawOf(f, c))).ToArray())];
        _pixels = [.. rig.Fixtures.Select(f => IsAllPixels(f) ? new PixelFade(_goal.PixelsOf(f)) : null)];
    }

    /// <summary>How often levels are sent, Hz.</summary>
    public int Rate { get; }

    /// <summary>What chance starts from.</summary>
    public int Seed { get; }

    public TimeSpan Length { get; }

    /// <summary>The music, or null.</summary>
    public CueSound? Sound { get; }

    /// <summary>Universes that are sent as Art-Net; the others are sent as sACN.</summary>
    public IReadOnlyCollection<int> ArtNet { get; }

    public CueSender Sender { get; }

    /// <summary>Timecode at time 0.</summary>
    public Timecode TimecodeStart { get; }

    /// <summary>The cues by time; those without a name have an empty one.</summary>
    public IReadOnlyList<NamedCue> Cues { get; }

    /// <summary>Levels of the tick that was played last.</summary>
    public LevelsEncoder Levels { get; }

    /// <summary>Ticks from the first, at time 0, to the last, at the end.</summary>
    public int Ticks => (int)Math.Round(Length.TotalSeconds * Rate) + 1;

    /// <summary>Plays a tick; they are played in order from 0.</summary>
    public void Play(int tick)
    {
        var t = tick / (double)Rate;
        for (; _next < _cues.Count && _cues[_next].Time <= t + 1e-9; _next++)
        {
            Start(_cues[_next]);
        }

        Levels.Reset();
        for (var f = 0; f < _fades.Length; f++)
        {
            var fixture = _rig.Fixtures[f];
            for (var c = 0; c < _fades[f].Length; c++)
            {
                Levels.SetRaw(fixture, fixture.Mode.Channels[c], _fades[f][c].At(t));
            }

            _pixels[f]?.Write(Levels, fixture, t);
        }

        foreach (var chase in _chases)
        {
            chase.Apply(Levels, t);
        }

        foreach (var layer in _layers)
        {
            layer.Apply(Levels, t);
        }
    }

    /// <summary>Says all that is wrong with the cues before any is played.</summary>
    private void Try(IReadOnlyDictionary<string, System.Numerics.Vector3> points, ProblemList problems)
    {
        var setter = new LookSetter(new LevelsEncoder(_rig), points, LookSetter.MostOfAShow);
        var tried = new HashSet<SourceNode>();
        foreach (var (_, cue, _) in _cues.Where(c => tried.Add(c.Cue)))
        {
            foreach (var node in (SourceNode[])[cue, .. cue.ListOf("set")])
            {
                foreach (var key in (string[])["fade", "delay", "over"])
                {
                    _clock.SecondsOr(node, key, 0, problems);
                }
            }

            foreach (var entry in cue.ListOf("set"))
            {
                setter.Apply(entry, problems);
            }
        }
    }

    private void Start((double Time, SourceNode Cue, string Name) cue)
    {
        var told = new ProblemList();
        foreach (var entry in cue.Cue.ListOf("set"))
        {
            _setter.Apply(entry, told);
            if (LookSetter.Select(_rig, entry, told) is not { } fixtures)
            {
                continue;
            }

            var start = cue.Time + Of("delay", 0);
            var seconds = Of("fade", 0);
            var over = _clock.SecondsOr(entry, "over", 0, told);
            var curve = entry.TextOr("curve", cue.Cue.TextOr("curve", "linear"));
            for (var i = 0; i < fixtures.Count; i++)
            {
                foreach (var fixture in _sharers[fixtures[i].PatchOwner])
                {
                    Fade(fixture, start + (fixtures.Count < 2 ? 0 : over * i / (fixtures.Count - 1)), seconds, curve);
                }
            }

            double Of(string key, double otherwise) => _clock.SecondsOr(entry, key, _clock.SecondsOr(cue.Cue, key, otherwise, told), told);
        }
    }

    private void Fade(Fixture fixture, double start, double seconds, string curve)
    {
        for (var c = 0; c < _fades[fixture.Index.Value].Length; c++)
        {
            var channel = fixture.Mode.Channels[c];
            _fades[fixture.Index.Value][c].GoTo(_goal.RawOf(fixture, channel), start, channel.Snap ? 0 : seconds, curve);
        }

        _pixels[fixture.Index.Value]?.GoTo(_goal.PixelsOf(fixture), start, seconds, curve);
    }

    /// <summary>Whether pixels are all the light it has: cues set them; where there is a beam beside them, patterns alone do.</summary>
    private static bool IsAllPixels(Fixture fixture) =>
        fixture.Mode.PixelBlocks.Count > 0 && fixture.Mode.Geometry.All(g => g.Beam is null);

    private static CueSender SenderOf(SourceNode? s, ProblemList problems)
    {
        var start = new DateTimeOffset(2000, 1, 1, 0, 0, 0, TimeSpan.Zero);
        if (s?.Get("start") is { } written
            && !DateTimeOffset.TryParse(written.Text, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out start))
        {
            problems.Error(written, $"\"{written.Text}\" is no date and time such as 2026-03-14T20:00:00Z");
        }

        foreach (var key in (string[])["from", "artNetFrom", "artNetTo"])
        {
            if (s?.Get(key) is { } address && !System.Net.IPAddress.TryParse(address.Text, out _))
            {
                problems.Error(address, $"\"{address.Text}\" is no IPv4 address");
            }
        }

        return new CueSender(s?.TextOr("source", "cue file") ?? "cue file", s?.TextOr("from", "192.0.2.10") ?? "192.0.2.10",
            s?.TextOr("artNetFrom", "192.0.2.20") ?? "192.0.2.20", s?.TextOr("artNetTo", "192.0.2.60") ?? "192.0.2.60", start);
    }
}
