using StageView.Show.Nights;
using StageView.Show.Snap;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Show.Tests.Nights;

public sealed class NightRunTests : IDisposable
{
    private readonly TempFolder _folder = new();
    private readonly string _rig;

    public NightRunTests()
    {
        Directory.CreateDirectory(_folder["profiles"]);
        File.WriteAllText(Path.Combine(_folder["profiles"], "lamp.fixture.jsonc"), """
            {
              "name": "Lamp", "power": 1000,
              "geometry": [{ "name": "lens", "beam": { "kind": "spot", "flux": 1000, "beamAngle": 20, "lensRadius": 0.05, "colourTemperature": 3200 } }],
              "modes": [{ "name": "Basic", "channels": [{ "attribute": "Dimmer", "geometry": "lens" }] }]
            }
            """);
        File.WriteAllText(_rig = _folder["four.rig.jsonc"], """
            {
              "name": "Four", "profiles": ["profiles"],
              "hangs": [
                { "name": "one", "profile": "lamp", "at": [0, 0, 5], "patch": "1.1" },
                { "name": "two", "profile": "lamp", "at": [2, 0, 5], "patch": "1.2" },
                { "name": "three", "profile": "lamp", "at": [4, 0, 5], "patch": "1.3" },
                { "name": "four", "profile": "lamp", "at": [6, 0, 5], "patch": "1.4" }
              ],
              "scenery": [{ "name": "floor", "shape": "plane", "size": [16, 16, 1], "albedo": 0.2 }]
            }
            """);
    }

    public void Dispose() => _folder.Dispose();

    /// <summary>20 s of a show, 40 packets and 25 labels a second.</summary>
    /// <param name="name">The file's.</param>
    /// <param name="before">How long it was recorded before the show began, s.</param>
    /// <param name="levels">Of a time of the show.</param>
    /// <param name="silent">When timecode dropped out, s of the show.</param>
    private string Write(string name, double before, Func<double, byte[]> levels, (double From, double To)? silent = null)
    {
        var path = _folder[name];
        using var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 3, 4, 20, 0, 0, TimeSpan.Zero));
        var packet = new byte[E131Numbers.LongestDataPacket];
        for (var i = 0; i < (before + 20) * 200; i++)
        {
            var (at, show) = (TimeSpan.FromMilliseconds(i * 5), (i / 200.0) - before);
            if (i % 5 == 0)
            {
                var length = E131Writer.Write(packet, new E131DataPacket
                {
                    Cid = new Cid(1, 2), SourceName = "desk"u8, Priority = 100, Sequence = (byte)(i / 5), Universe = new UniverseNumber(1),
                    Levels = show < 0 ? [0, 0, 0, 0] : levels(show),
                });
                writer.Write(at, SourceAddress.IPv4(0x0A00_0001, 5568), SourceAddress.IPv4(0xEFFF_0001, 5568), packet.AsSpan(0, length));
            }

            if (show >= 0 && (i - (int)(before * 200)) % 8 == 0 && !(show >= silent?.From && show < silent?.To))
            {
                var length = ArtTimeCode.Write(packet, Timecode.FromFrameNumber(90_000 + (int)Math.Round(show * 25), TimecodeRate.Ebu25));
                writer.Write(at, SourceAddress.IPv4(0x0A00_0003, 6454), SourceAddress.IPv4(0x0A00_00FF, 6454), packet.AsSpan(0, length));
            }
        }

        return path;
    }

    private NightAnswer Ask(string first, string second) => NightRun.Run(new ShowsAsked(_rig, first, second, "auto", .1));

    private static byte[] Show(double t, double late = 0) =>
        [(byte)(t >= 3 ? 200 : 0), (byte)(t >= 9 + late ? 255 : 0), (byte)(t is >= 14 and < 16 ? 255 : 0), 0];

    [Fact]
    public void The_same_night_recorded_from_another_second_on_is_the_same()
    {
        var answer = Ask(Write("a.pcapng", 0, t => Show(t)), Write("b.pcapng", 2.4, t => Show(t)));
        Assert.False(answer.IsDifference);
        Assert.StartsWith("by timecode", answer.Alignment, StringComparison.Ordinal);
        Assert.Equal(["four"], answer.NeverLit);
        Assert.Empty(answer.WentDark);
        Assert.InRange(answer.Second.Load.Kwh - answer.First.Load.Kwh, -.0001, .0001);
    }

    [Fact]
    public void A_unit_that_lit_on_one_night_alone_is_none_that_never_lit()
    {
        byte[] Four(double t) => [.. Show(t)[..3], (byte)(t is >= 5 and < 7 ? 255 : 0)];
        Assert.Empty(Ask(Write("a.pcapng", 0, t => Show(t)), Write("b.pcapng", 0, Four)).NeverLit);
        Assert.Empty(Ask(Write("c.pcapng", 0, Four), Write("d.pcapng", 0, t => Show(t))).NeverLit);
    }

    /// <summary>What begins together and ends apart stands in rows of its own: one that stayed dark is not hidden among those that came later.</summary>
    [Fact]
    public void Fixtures_that_differ_for_other_times_are_not_told_as_one()
    {
        var answer = Ask(Write("a.pcapng", 0, t => [(byte)(t is >= 5 and < 8 ? 200 : 0), (byte)(t is >= 5 and < 12 ? 200 : 0), 0, 0]),
            Write("b.pcapng", 0, _ => [0, 0, 0, 0]));
        var page = NightPage.Write(answer);
        Assert.Contains("<td>one</td>", page, StringComparison.Ordinal);
        Assert.Contains("<td>two</td>", page, StringComparison.Ordinal);
        Assert.DoesNotContain("one, two", page, StringComparison.Ordinal);
    }

    [Fact]
    public void A_late_cue_a_unit_that_stayed_dark_a_dropout_and_the_energy()
    {
        var answer = Ask(Write("a.pcapng", 0, t => Show(t)), Write("b.pcapng", 2.4, t =>
        {
            var levels = Show(t, late: .6);
            levels[2] = 0;
            return levels;
        }, (11, 11.6)));
        Assert.True(answer.IsDifference);
        var late = Assert.Single(answer.Late, l => l.LateSeconds is not null);
        Assert.InRange(late.LateSeconds!.Value, .5, .7);
        Assert.StartsWith("01:00:09", late.FirstTimecode, StringComparison.Ordinal);
        Assert.Equal(["three"], answer.WentDark);
        Assert.Contains(answer.Looks, p => p.Name == "two" && Math.Abs(p.From - 9) < .3);
        Assert.Single(answer.Second.Dropouts);
        Assert.Empty(answer.First.Dropouts);
        // Two starts .6 s later and three is dark for 2 s: 2.6 kWs less.
        Assert.Equal(-2.6 / 3600, answer.Second.Load.Kwh - answer.First.Load.Kwh, 4);
        var page = NightPage.Write(answer);
        Assert.Contains("three", page, StringComparison.Ordinal);
        Assert.Contains("An electrician decides", page, StringComparison.Ordinal);
        Assert.Contains("1 unit that stayed dark", NightPage.Summary(answer), StringComparison.Ordinal);
    }
}
