using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Show.Questions;
using StageView.Stage;
using StageView.Stage.Heads;
using StageView.Stage.Levels;
using StageView.Stage.Programs;
using StageView.Stage.State;

namespace StageView.Live.Shown;

/// <summary>Every way a fixture can put its beam on a point as things stand: straight, over one or two mirrors, by turning a mirror.</summary>
internal sealed class AimWays
{
    private const int MostListed = 16;
    private const int MostRefusals = 12;
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(15);
    private readonly RigScene _rig;
    private readonly TimeProvider _clock;
    private readonly List<(Fixture Fixture, DmxChannel Channel, uint Raw)> _levels = [];
    private readonly List<string> _walls = [];
    private readonly List<string> _turning = [];
    private readonly Dictionary<FixtureIndex, (double Pan, double Tilt)> _stands = [];

    /// <summary>Takes down how everything stands; to be called where the stage may be used, unlike <see cref="Find"/>.</summary>
    public AimWays(RigScene rig, StageModel stage, TimeSpan at, TimeProvider clock)
    {
        (_rig, _clock) = (rig, clock);
        foreach (var fixture in rig.Fixtures.Where(f => f.Mode.Geometry.Any(g => g.Axis is not null)))
        {
            var state = stage.StateOf(fixture.Index, at);
            _stands[fixture.Index] = (Angle(state, AttributeOp.Pan), Angle(state, AttributeOp.Tilt));
            foreach (var a in state.Attributes.Where(a => a.Addresses.Count > 0 && !a.IsDefault))
            {
                if (ChannelAt(fixture, a.Addresses[0].Absolute) is { } channel)
                {
                    _levels.Add((fixture, channel, a.Raw));
                }
            }
        }

        var moment = stage.MomentAt(at, default, 0);
        for (var m = 0; m < moment.Mirrors.Length; m++)
        {
            var name = Texts.Mirror(moment, new MirrorIndex(m));
            var turns = name.LastIndexOf('/') is var slash and > 0 && rig.Fixtures.Any(f => f.Name == name[..slash]);
            var list = turns ? _turning : _walls;
            var family = turns ? name : Family(name);
            if (!list.Contains(family))
            {
                list.Add(family);
            }
        }
    }

    public AimCard Find(Fixture fixture, Vector3 target)
    {
        if (PanTilt.Beam(fixture, 0, 0) is null)
        {
            return new AimCard(fixture.Name, [target.X, target.Y, target.Z], [], ["it has no pan or tilt"]);
        }

        var ways = new List<AimWay>();
        var refusals = new List<string>();
        if (fixture.Carrier is not null)
        {
            refusals.Add("it is carried by another fixture; its place changes with that one's height");
        }

        var from = _clock.GetTimestamp();
        var (asked, left) = (0, 0);
        foreach (var via in Vias())
        {
            if (_clock.GetElapsedTime(from) > Patience)
            {
                left++;
                continue;
            }

            asked++;
            var result = new AimSolver(_rig, Levels()).Solve(fixture, target, via);
            if (result.Solutions.Count == 0)
            {
                // Most pairs of mirrors don't see each other; that is no news.
                if (via.Length < 2 && refusals.Count < MostRefusals)
                {
                    refusals.Add($"{(via.Length == 0 ? "direct" : "by way of " + via[0])}: {result.Why}");
                }

                continue;
            }

            ways.AddRange(result.Solutions.Take(3).Select(s => Way(fixture, result, s)));
        }

        if (left > 0)
        {
            refusals.Add($"{left} of {asked + left} ways were not tried for want of time: 'stageview aim --via' asks for one by name");
        }

        ways.Sort((a, b) => a.MoveSeconds.CompareTo(b.MoveSeconds));
        return new AimCard(fixture.Name, [target.X, target.Y, target.Z], [.. ways.Take(MostListed).Select((w, i) => w with { Shortest = i == 0 })], refusals);
    }

    /// <summary>Mirrors of a wall are numbered after its name; the solver takes the best of those whose names begin so.</summary>
    internal static string Family(string mirror)
    {
        var space = mirror.LastIndexOf(' ');
        return space > 0 && mirror[(space + 1)..].All(c => char.IsAsciiDigit(c) || c == '.') ? mirror[..space] : mirror;
    }

    private IEnumerable<string[]> Vias() =>
    [
        [],
        .. _walls.Select(w => new[] { w }),
        .. _turning.Select(t => new[] { t }),
        .. _walls.SelectMany(a => _walls.Select(b => new[] { a, b })),
        .. _turning.SelectMany(t => _walls.SelectMany(w => new[] { new[] { t, w }, [w, t] })),
    ];

    private LevelsEncoder Levels()
    {
        var levels = new LevelsEncoder(_rig);
        foreach (var (fixture, channel, raw) in _levels)
        {
            levels.SetRaw(fixture, channel, raw);
        }

        return levels;
    }

    private AimWay Way(Fixture fixture, AimResult result, AimSolution s)
    {
        var (pan, tilt) = _stands.GetValueOrDefault(fixture.Index);
        var (dp, dt) = (Math.Abs(s.Pan - pan), Math.Abs(s.Tilt - tilt));
        var seconds = Math.Max(Seconds(dp, Axis(fixture, AxisMotion.TurnZ)), Seconds(dt, Axis(fixture, AxisMotion.TurnX)));
        return new AimWay(
            s.Mirrors.Length == 0 ? "direct" : string.Join(", then ", s.Mirrors), s.Pan, s.Tilt, Math.Max(dp, dt), seconds, s.Arriving, s.Lux, false,
            [
                .. result.Turned.Select(t => string.Create(CultureInfo.InvariantCulture,
                    $"{t.Fixture.Name}: pan {t.Pan:0.00}°, tilt {t.Tilt:0.00}° · {string.Join(" · ", t.Channels.Select(Values))}"))],
                    [.. s.Channels.Select(Values)])
        {
            Group = s.Mirrors.Length == 0 ? "direct" : string.Join(", then ", s.Mirrors.Select(Family)),
            Path = [.. s.Path.Select(p => new[] { p.X, p.Y, p.Z })],
            Sets = [.. Sets(fixture, s.Channels), .. result.Turned.SelectMany(t => Sets(t.Fixture, t.Channels))],
        };
    }

    private static IEnumerable<AsIfLevel> Sets(Fixture fixture, IReadOnlyList<AimChannel> channels) =>
        channels.Select(c => new AsIfLevel(fixture.Name, c.Channel, c.Value));

    /// <summary><c>Pan 12.101/12.102 = 128/0</c>, the most significant byte first.</summary>
    internal static string Values(AimChannel c)
    {
        var bytes = c.Highest <= 255 ? 1 : c.Highest <= 65535 ? 2 : 3;
        return $"{c.Attribute} {c.Addresses} = {string.Join('/', Enumerable.Range(0, bytes).Select(i => (c.Value >> (8 * (bytes - 1 - i))) & 255))}";
    }

    private static DmxChannel? ChannelAt(Fixture fixture, int address) => fixture.Mode.Channels.FirstOrDefault(c =>
        c.Offsets.Count > 0 && fixture.Patch.Any(p => p.Break == c.Break && p.Start.Absolute + c.Offsets[0] - 1 == address));

    private static double Angle(FixtureState state, AttributeOp op) => state.Attributes.FirstOrDefault(a => a.Op == op)?.Now ?? 0;

    private static AxisData? Axis(Fixture fixture, AxisMotion motion) => fixture.Mode.Geometry.Select(g => g.Axis).FirstOrDefault(a => a?.Motion == motion);

    /// <summary>Time of a move from rest to rest: t = d/v + v/a where the top speed v is reached, else 2·√(d/a).</summary>
    private static double Seconds(double degrees, AxisData? axis)
    {
        if (axis is null || axis.TopSpeed <= 0)
        {
            return 0;
        }

        var (v, a) = ((double)axis.TopSpeed, (double)axis.Acceleration);
        var travel = a <= 0 ? degrees / v : degrees >= v * v / a ? (degrees / v) + (v / a) : 2 * Math.Sqrt(degrees / a);
        return travel + (degrees > 0 ? axis.SettleSeconds : 0);
    }
}
