using System.Net;
using System.Numerics;
using System.Text;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Show.Sources;
using StageView.Stage.Content;
using StageView.Stage.Levels;
using StageView.Stage.State;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Show.Pixels;

/// <summary>What was written.</summary>
/// <param name="Universes">Numbers of those sent, rising.</param>
/// <param name="Ticks">How often each.</param>
/// <param name="Bytes">Of the file.</param>
public sealed record CorrectedReport(IReadOnlyList<int> Universes, int Ticks, long Bytes);

/// <summary>What was sent.</summary>
/// <param name="Universes">Numbers of those sent, rising.</param>
/// <param name="Ticks">How often each.</param>
/// <param name="LeftOut">Frames that could not be made in time.</param>
/// <param name="MostLateMs">The furthest that one left after its time, ms.</param>
public sealed record SentReport(IReadOnlyList<int> Universes, int Ticks, int LeftOut, double MostLateMs);

/// <summary>
/// Content sampled where the pixels will be when its light leaves them, as levels: the place is that of the levels heard so far, let travel on by the latency.
/// A pixel's level is the content's light as a share of the pixel's peak; what the console sends to the same pixels goes in as the rig's <c>mix</c> says, and
/// all other addresses of their universes are the console's.
/// </summary>
public sealed class CorrectedLevels
{
    private readonly PixelsQuestion _question;
    private readonly ShowSource _source;
    private readonly PlacedContent _content;
    private readonly LevelsEncoder _levels;
    private readonly List<(MapPatch Patch, PixelGrid Grid, Vector3[] Light)> _grids = [];
    private readonly List<int> _places;

    /// <param name="question">The map, and which content.</param>
    /// <param name="source">Where levels come from; its content is open.</param>
    /// <exception cref="StopException">No content was named, or no pixel of the map has an address.</exception>
    public CorrectedLevels(PixelsQuestion question, ShowSource source)
    {
        ArgumentNullException.ThrowIfNull(question);
        ArgumentNullException.ThrowIfNull(source);
        (_question, _source) = (question, source);
        _content = source.Stage.Content.FirstOrDefault(c => c.Placement.Name == question.Content)
            ?? throw StopException.Wrong("corrected levels are of a content: name it with --content");
        _levels = new LevelsEncoder(source.Stage.Rig);
        var used = new SortedSet<int>();
        foreach (var patch in question.Map.Patches.Where(p => _content.Takes(p.Fixture)))
        {
            var grid = source.Stage.GridOf(patch.Fixture, patch.Emitter);
            _grids.Add((patch, grid, new Vector3[patch.Rest.Columns * patch.Rest.Rows]));
            var block = source.Stage.Rig.Fixtures[patch.Fixture.Value].Mode.PixelBlocks.First(b => b.Geometry == grid.Node);
            foreach (var address in grid.Addresses.OfType<UniverseAddress>())
            {
                used.Add(address.Universe.Value);
                used.Add(((address.Absolute + (block.Order.Length * block.BytesPerComponent) - 1) / 512) + 1);
            }
        }

        _places = [.. Enumerable.Range(0, _levels.Universes.Count).Where(i => used.Contains(_levels.Universes[i]))];
        if (_places.Count == 0)
        {
            throw StopException.Wrong($"no pixel of \"{question.Map.Name}\" has an address: there is nothing to send");
        }
    }

    /// <summary>Numbers of the universes that hold the pixels, rising.</summary>
    public IReadOnlyList<int> Universes => [.. _places.Select(p => _levels.Universes[p])];

    /// <summary>The 512 levels of one of <see cref="Universes"/> as made last.</summary>
    public ReadOnlySpan<byte> LevelsOf(int universe) => _levels.LevelsOf(_places[universe]);

    /// <summary>Makes the levels of a time.</summary>
    /// <param name="at">Show time; levels up to it count.</param>
    /// <param name="latency">From here to the light of the panels.</param>
    public void Make(TimeSpan at, TimeSpan latency)
    {
        _source.FeedTo(at);
        var stage = _source.Stage;
        stage.CopyLevels(at, _levels);
        var surfaces = stage.SurfacesAt(at, latency).ToArray().ToDictionary(s => (s.Fixture, s.Emitter));
        var image = _content.ImageAt(at + latency);
        foreach (var (patch, grid, light) in _grids)
        {
            if (image is null)
            {
                continue;
            }

            Sample(patch, surfaces, image, light);
            var share = MathF.Min(1, _content.Placement.Luminance / MathF.Max(1e-3f, grid.Peak));
            var fixture = stage.Rig.Fixtures[patch.Fixture.Value];
            for (var i = 0; i < light.Length; i++)
            {
                _levels.SetPixel(fixture, grid.Node, i % patch.Rest.Columns, i / patch.Rest.Columns, light[i] * share, _content.Placement.Mix);
            }
        }
    }

    /// <summary>Writes levels at an even pace into a capture, as sACN.</summary>
    /// <param name="stream">Where it goes (pcapng).</param>
    /// <param name="from">First show time; the capture's time 0.</param>
    /// <param name="to">Last show time.</param>
    /// <param name="hertz">How often, 1 to 44.</param>
    /// <param name="latency">From here to the light of the panels.</param>
    public CorrectedReport Write(Stream stream, TimeSpan from, TimeSpan to, int hertz, TimeSpan latency)
    {
        using var writer = new PcapngWriter(stream, DateTimeOffset.UnixEpoch);
        var ticks = TicksOf(from, to, hertz);
        for (var tick = 0; tick < ticks; tick++)
        {
            var since = SinceStart(tick, hertz);
            Make(from + since, latency);
            Pack(tick, (universe, packet) =>
                writer.Write(since, Address("127.0.0.1"), Address($"239.255.{universe >> 8}.{universe & 255}"), packet));
        }

        return new CorrectedReport(Universes, ticks, writer.Length);
    }

    /// <summary>Sends levels at an even pace, each frame made just before it is due. One that could not be made in time is left out.</summary>
    /// <param name="sender">Where to; the caller ends it, and with it the streams.</param>
    /// <param name="from">First show time.</param>
    /// <param name="to">Last show time.</param>
    /// <param name="hertz">How often, 1 to 44.</param>
    /// <param name="latency">From here to the light of the panels.</param>
    /// <param name="time">Paces it.</param>
    /// <param name="stop">Ends it.</param>
    /// <exception cref="SendException">The address can't be reached.</exception>
    public SentReport Send(StreamSender sender, TimeSpan from, TimeSpan to, int hertz, TimeSpan latency, TimeProvider time, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(sender);
        ArgumentNullException.ThrowIfNull(time);
        var (ticks, sent, start) = (TicksOf(from, to, hertz), 0, time.GetTimestamp());
        var (leftOut, mostLate) = (0, TimeSpan.Zero);
        for (var tick = 0; tick < ticks && !stop.IsCancellationRequested; tick++)
        {
            var since = SinceStart(tick, hertz);

            // The first and the last are sent whatever: they are where it begins and what stays.
            if (tick > 0 && tick < ticks - 1 && time.GetElapsedTime(start) > SinceStart(tick + 1, hertz))
            {
                leftOut++;
                continue;
            }

            Make(from + since, latency);

            // The first takes longest, since all up to it is read: the pace begins with it.
            start = tick == 0 ? time.GetTimestamp() : start;
            var wait = since - time.GetElapsedTime(start);
            if (wait >= TimeSpan.FromMilliseconds(1) && stop.WaitHandle.WaitOne(wait))
            {
                break;
            }

            var late = time.GetElapsedTime(start) - since;
            mostLate = late > mostLate ? late : mostLate;
            Pack(tick, (_, packet) => sender.Send(packet));
            sent++;
        }

        return new SentReport(Universes, sent, leftOut, mostLate.TotalMilliseconds);
    }

    private static int TicksOf(TimeSpan from, TimeSpan to, int hertz) => (int)Math.Floor(((to - from).TotalSeconds * hertz) + 1e-6) + 1;

    private static TimeSpan SinceStart(int tick, int hertz) => TimeSpan.FromTicks(tick * TimeSpan.TicksPerSecond / hertz);

    private delegate void TakePacket(int universe, ReadOnlySpan<byte> packet);

    /// <summary>The levels made last as packets, one a universe; the tick is their sequence number.</summary>
    private void Pack(int tick, TakePacket take)
    {
        Span<byte> packet = stackalloc byte[E131Numbers.LongestDataPacket];
        var name = Encoding.UTF8.GetBytes("StageView pixels of " + _question.Map.Name);
        for (var u = 0; u < _places.Count; u++)
        {
            var universe = _levels.Universes[_places[u]];
            var length = E131Writer.Write(packet, new E131DataPacket
            {
                Cid = new Cid(0x5354_4147_4556_4945, 0x8000_0000_5049_5845), SourceName = name.AsSpan(0, Math.Min(63, name.Length)), Priority = 100,
                Sequence = (byte)tick, Universe = new UniverseNumber(universe), Levels = LevelsOf(u),
            });
            take(universe, packet[..length]);
        }
    }

    private void Sample(MapPatch patch, Dictionary<(FixtureIndex, int), PixelSurface> surfaces, ContentImage image, Vector3[] light) =>
        PixelTracker.Sample(patch, surfaces.GetValueOrDefault((patch.Fixture, patch.Emitter), patch.Rest), image, _content.Placement.FacingAway, light);

    private static SourceAddress Address(string ip) => SourceAddress.From(new IPEndPoint(IPAddress.Parse(ip), 5568));
}
