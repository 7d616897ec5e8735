using StageView.Show.Rigs;
using StageView.Show.Takeover;
using StageView.Stage;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Show.Tests.Takeover;

public sealed class TakeoverRunTests : IDisposable
{
    private const string RigText = """
        {
          "name": "Two desks", "profiles": ["profiles"],
          "network": { "consoles": [
            { "name": "large", "source": "main desk", "universes": 8, "attributes": 1000 },
            { "name": "small", "source": "backup desk", "universes": 1, "attributes": 2 } ] },
          "hangs": [
            { "name": "one", "profile": "lamp", "at": [0, 0, 5], "patch": "1.1" },
            { "name": "two", "profile": "lamp", "at": [2, 0, 5], "patch": "1.2" },
            { "name": "three", "profile": "lamp", "at": [4, 0, 5], "patch": "1.3" },
            { "name": "four", "profile": "lamp", "at": [6, 0, 5], "patch": "2.1" }
          ]
        }
        """;

    private const string Lamp = """
        {
          "name": "Lamp",
          "geometry": [{ "name": "lens", "beam": { "kind": "spot", "flux": 1000, "beamAngle": 20, "lensRadius": 0.05, "colourTemperature": 3200 } }],
          "modes": [{ "name": "Basic", "channels": [{ "attribute": "Dimmer", "geometry": "lens" }] }]
        }
        """;

    private readonly TempFolder _folder = new();
    private readonly string _rig;

    public TakeoverRunTests()
    {
        _rig = _folder["two.rig.jsonc"];
        Directory.CreateDirectory(_folder["profiles"]);
        File.WriteAllText(_rig, RigText);
        File.WriteAllText(Path.Combine(_folder["profiles"], "lamp.fixture.jsonc"), Lamp);
    }

    public void Dispose() => _folder.Dispose();

    /// <summary>20 s at 20 a second; what each desk sends of a time, or null for silence.</summary>
    private string Write(Func<double, byte[]?> main, Func<double, byte[]?> backup, Func<double, byte[]?>? second = null)
    {
        var path = _folder["both.pcapng"];
        using var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 3, 4, 20, 0, 0, TimeSpan.Zero));
        var packet = new byte[E131Numbers.LongestDataPacket];
        for (var i = 0; i < 400; i++)
        {
            var t = i / 20.0;
            Send(1, "main desk", 110, 1, main(t));
            Send(2, "backup desk", 100, 1, backup(t));
            Send(1, "main desk", 110, 2, second?.Invoke(t));
            if (i % 2 == 0)
            {
                var length = ArtTimeCode.Write(packet, Timecode.FromFrameNumber(90_000 + (i * 5 / 4), TimecodeRate.Ebu25));
                writer.Write(TimeSpan.FromSeconds(t), SourceAddress.IPv4(0x0A00_0003, 6454), SourceAddress.IPv4(0x0A00_00FF, 6454), packet.AsSpan(0, length));
            }

            void Send(int desk, string name, byte priority, int universe, byte[]? levels)
            {
                if (levels is null)
                {
                    return;
                }

                var length = E131Writer.Write(packet, new E131DataPacket
                {
                    Cid = new Cid(1, (ulong)desk), SourceName = System.Text.Encoding.UTF8.GetBytes(name), Priority = priority, Sequence = (byte)i,
                    Universe = new UniverseNumber(universe), Levels = levels,
                });
                writer.Write(TimeSpan.FromSeconds(t + (desk * .001)), SourceAddress.IPv4(0x0A00_0000 + (uint)desk, 5568),
                    SourceAddress.IPv4(0xEFFF_0000 + (uint)universe, 5568), packet.AsSpan(0, length));
            }
        }

        return path;
    }

    private TakeoverAnswer Ask(string capture, string? main = null, string? backup = null) =>
        TakeoverRun.Run(new TakeoverAsked(_rig, capture, main, backup, .1, new ShowTolerance(TakeoverRun.UsualWithin, 1)));

    private static byte[] Fade(double t) => [(byte)(t * 10), (byte)(200 - (t * 10)), 0];

    [Fact]
    public void A_backup_that_tracks_some_frames_behind_would_not_be_seen()
    {
        var answer = Ask(Write(Fade, t => Fade(Math.Max(0, t - .1))));
        Assert.Empty(answer.Partings);
        Assert.Null(answer.Worst);
        Assert.Equal(("'main desk' at 10.0.0.1", "'backup desk' at 10.0.0.2", "of higher priority"), (answer.Main.Label, answer.Backup.Label, answer.Why));
        Assert.InRange(answer.Looked, 185, 200);
    }

    /// <summary>Whoever was switched on first: the higher priority leads.</summary>
    [Fact]
    public void A_backup_that_was_heard_first_is_the_backup_all_the_same()
    {
        var answer = Ask(Write(t => t < .5 ? null : Fade(t), Fade));
        Assert.Equal(("'main desk' at 10.0.0.1", "'backup desk' at 10.0.0.2", "of higher priority"), (answer.Main.Label, answer.Backup.Label, answer.Why));
    }

    [Fact]
    public void Where_they_part_and_the_worst_moment()
    {
        // The backup missed a cue from 5 to 8 s (one fixture), and at 12 to 13 s two of them; what parts at 15 s is dark in both.
        var answer = Ask(Write(_ => [200, 200, 0], t => t is >= 5 and < 8 ? [0, 200, 0] : t is >= 12 and < 13 ? [100, 0, 0] : [200, 200, 0]));
        Assert.Equal([("one", 5.0, 8.0), ("one", 12, 13), ("two", 12, 13)],
            answer.Partings.Select(p => (p.Name, Math.Round(p.From), Math.Round(p.To))));
        Assert.Equal(["one", "two"], answer.Worst!.Fixtures);
        Assert.InRange(answer.Worst.At, 11.9, 13);
        Assert.Equal("01:00:12", answer.Worst.Timecode![..8]);
        Assert.InRange(answer.SeenSeconds, 3.5, 4.5);
        Assert.True(answer.IsNo);
    }

    [Fact]
    public void Universes_that_the_backup_never_sends_and_what_a_small_console_leaves_out()
    {
        // Three is lit for 2 s, four (universe 2) for 1 s.
        var answer = Ask(Write(t => [200, 200, (byte)(t is >= 4 and < 6 ? 200 : 0)], t => [200, 200, (byte)(t is >= 4 and < 6 ? 200 : 0)],
            t => [(byte)(t is >= 4 and < 5 ? 200 : 0)]));
        Assert.Equal([2], answer.NotSent);
        Assert.Equal([("large", "main", false), ("small", "backup", true)], answer.Consoles.Select(c => (c.Name, c.Role, c.Sheds)));
        var small = answer.Consoles[1];
        Assert.Equal((2, 1, 4, 2), (small.Universes, small.HoldsUniverses, small.Attributes, small.HoldsAttributes));
        Assert.Equal([2], small.ShedUniverses);
        Assert.Equal(["three", "four"], small.ShedFixtures);
        Assert.InRange(small.LitSeconds, 2.6, 3.4);
        Assert.Equal(["four"], answer.Worst!.Fixtures);
    }

    [Fact]
    public void Desks_are_chosen_by_name_or_address_and_what_cant_be_is_told()
    {
        var path = Write(Fade, Fade);
        Assert.Equal("'main desk' at 10.0.0.1", Ask(path, backup: "10.0.0.1").Backup.Label);
        Assert.Equal("as asked", Ask(path, main: "Backup desk").Why);
        Assert.Contains("no desk of", Assert.Throws<StopException>(() => Ask(path, main: "other")).Message, StringComparison.Ordinal);
        Assert.Contains("the same desk", Assert.Throws<StopException>(() => Ask(path, "main desk", "10.0.0.1")).Message, StringComparison.Ordinal);
        Assert.Contains("has no two desks that send to the patch: it has 'main desk' at 10.0.0.1",
            Assert.Throws<StopException>(() => Ask(Write(Fade, _ => null))).Message, StringComparison.Ordinal);
        Assert.Contains("never heard at the same time",
            Assert.Throws<StopException>(() => Ask(Write(t => t < 5 ? Fade(t) : null, t => t > 10 ? Fade(t) : null))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Each_desk_alone_is_written_as_a_capture_with_the_timecode()
    {
        var path = Write(_ => [200, 0, 0], _ => [10, 0, 0]);
        var folder = _folder["split"];
        TakeoverRun.Split(RigFiles.Open(_rig), path, Ask(path), folder);
        foreach (var (name, level) in new[] { ("main", (byte)200), ("backup", (byte)10) })
        {
            var levels = CaptureReader.Read(Path.Combine(folder, name + ".pcapng"))
                .Select(d => E131Parser.TryParse(d.Payload.Span, out E131DataPacket data, out _) ? data.Levels[0] : -1).ToList();
            Assert.Equal((400, 200), (levels.Count(l => l == level), levels.Count(l => l == -1)));
            Assert.Equal(600, levels.Count);
        }
    }
}
