using StageView.Rig.Pieces;
using StageView.Show.Recordings;
using StageView.Show.Rigs;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Health;
using StageView.Wire.Universes;

namespace StageView.Show.Tests.Recordings;

public sealed class RecordingWatchTests : IDisposable
{
    private static readonly RigScene Rig = RigFiles.Open(Repo.File("scenes", "one-beam", "one-beam.rig.jsonc"));

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>A packet of the recording, in order of time.</summary>
    /// <param name="At">Seconds.</param>
    /// <param name="Desk">Its host's last number and its CID.</param>
    /// <param name="Universe">Which; 0 for timecode.</param>
    /// <param name="Level">Of all addresses.</param>
    private sealed record Sent(double At, int Desk, int Universe, int Level, Timecode Label = default, int Skip = 0);

    private static IEnumerable<Sent> Steady(int desk, int universe, double from, double to, int hertz = 40) =>
        Enumerable.Range(0, (int)Math.Round((to - from) * hertz)).Select(i => new Sent(from + ((double)i / hertz), desk, universe, (i / 4) % 200));

    private string Write(string name, IEnumerable<Sent> sent)
    {
        var path = _folder[name];
        using var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 3, 4, 20, 0, 0, TimeSpan.Zero));
        var packet = new byte[E131Numbers.LongestDataPacket];
        var sequences = new Dictionary<(int, int), byte>();
        foreach (var s in sent.OrderBy(s => s.At))
        {
            var from = (uint)(0x0A00_0000 + s.Desk);
            if (s.Universe == 0)
            {
                var count = ArtTimeCode.Write(packet, s.Label);
                writer.Write(TimeSpan.FromSeconds(s.At), SourceAddress.IPv4(from, 6454), SourceAddress.IPv4(0x0A00_00FF, 6454), packet.AsSpan(0, count));
                continue;
            }

            var sequence = sequences[(s.Desk, s.Universe)] = (byte)(sequences.GetValueOrDefault((s.Desk, s.Universe)) + 1 + s.Skip);
            var length = E131Writer.Write(packet, new E131DataPacket
            {
                Cid = new Cid(1, (ulong)s.Desk), SourceName = "desk"u8, Priority = 100, Sequence = sequence, Universe = new UniverseNumber(s.Universe),
                Levels = LevelsCapture.Even(512, s.Level),
            });
            writer.Write(TimeSpan.FromSeconds(s.At), SourceAddress.IPv4(from, 5568), SourceAddress.IPv4(0xEFFF_0000 + (uint)s.Universe, 5568),
                packet.AsSpan(0, length));
        }

        return path;
    }

    private static RecordingAnswer Ask(string path) => new RecordingWatch(Rig, path, TimeSpan.FromSeconds(1)).Ask(TestContext.Current.CancellationToken);

    [Fact]
    public void A_steady_night_has_no_finding()
    {
        var answer = Ask(Write("steady.pcapng", Steady(1, 1, 0, 300, 30)));
        Assert.Empty(answer.Findings);
        Assert.Empty(answer.Problems);
        var source = Assert.Single(answer.Sources);
        Assert.Equal((1, "'desk' at 10.0.0.1", 9000L, 0L), (source.Universe, source.Source, source.Packets, source.Missing));
        Assert.InRange(source.SlowestPerSecond, 29.5, 30.5);
        Assert.InRange(source.FastestPerSecond, 29.5, 30.5);
        Assert.InRange(Assert.Single(source.Times).To, 299.5, 300.5);
        Assert.Contains("Nothing wrong was found", RecordingPage.Write(answer), StringComparison.Ordinal);
    }

    /// <summary>One universe is silent from 20 to 30 s, another desk fights from 40 to 50 s, ten packets are lost at 60 s, an unpatched one comes at 70
    /// s.</summary>
    [Fact]
    public void What_was_wrong_is_told_with_its_times()
    {
        var labels = Enumerable.Range(0, 25 * 80).Where(f => f is < 500 or > 550).Select(f =>
            new Sent(f / 25.0, 1, 0, 0, Timecode.FromFrameNumber((25 * 3600) + f, TimecodeRate.Ebu25)));
        var answer = Ask(Write("night.pcapng",
        [
            .. Steady(1, 1, 0, 20), .. Steady(1, 1, 30, 60), .. Steady(1, 1, 60, 60.02).Select(s => s with { Skip = 10 }), .. Steady(1, 1, 60.025, 80),
            .. Steady(2, 1, 40, 50).Select(s => s with { Level = 255 - s.Level }), .. Steady(3, 7, 70, 80), .. labels,
        ]));

        HeardFinding Of(FindingKind kind) => Assert.Single(answer.Findings, f => f.Finding.Kind == kind);
        void During(HeardFinding found, double from, double to, bool stands)
        {
            var spell = Assert.Single(found.Times);
            Assert.True(Math.Abs(spell.From - from) < 1.1 && Math.Abs(spell.To - to) < 1.1, $"{found.Finding.Kind}: {spell.From} to {spell.To}");
            Assert.Equal(stands, found.Finding.Stands);
        }

        // E1.31-2018 §6.7.1: a source is lost 2.5 s after its last packet; until then its levels count.
        var stopped = answer.Findings.Where(f => f.Finding.Kind == FindingKind.SourceStopped).ToList();
        During(stopped.Single(f => f.Times[0].From < 30), 22.5, 30, true);
        During(Of(FindingKind.SourcesDisagree), 41, 52, true);
        During(Of(FindingKind.PacketsLost), 60, 62, true);
        During(Of(FindingKind.HeardButNotPatched), 70, 80, false);
        Assert.Equal("01:00:22:12", stopped[0].Times[0].Timecode);
        Assert.Equal(10, Of(FindingKind.PacketsLost).Finding.Count);
        Assert.Equal([TimecodeEventKind.Started, TimecodeEventKind.Stopped, TimecodeEventKind.Started], answer.Timecode.Select(e => e.Kind));
        var main = answer.Sources.Single(s => s.Source == "'desk' at 10.0.0.1");
        Assert.Equal(2, main.Times.Count);
        // While the other one's levels are higher at all addresses it is heard and not in force.
        Assert.InRange(main.Times.Sum(t => t.To - t.From) - main.Wins.Sum(t => t.To - t.From), 3, 13);
        Assert.True(answer.AnyFault);
        Assert.Equal(answer.Findings.OrderByDescending(f => f.Finding.Stands).ThenBy(f => f.Times[0].From).Select(f => f.Finding.Kind),
            answer.Findings.Select(f => f.Finding.Kind));
        var page = RecordingPage.Write(answer);
        Assert.Contains("22.5 s to 29.5 s (01:00:22:12)", page, StringComparison.Ordinal);
        File.WriteAllText(Path.Combine(Repo.Out("recordings"), "night.html"), page);
    }

    [Fact]
    public void A_desk_that_stops_is_one_finding_of_all_its_universes()
    {
        var answer = Ask(Write("stop.pcapng", [.. Steady(1, 1, 0, 20), .. Steady(2, 1, 0, 10), .. Steady(2, 5, 0, 10), .. Steady(2, 6, 0, 10)]));
        var stopped = Assert.Single(answer.Findings, f => f.Finding.Kind == FindingKind.SourceStopped && !f.Finding.Stands);
        Assert.Equal([5, 6], stopped.Finding.Universes);
        Assert.Equal("universes 5, 6: 'desk' at 10.0.0.2 stopped without saying so; its last levels are held", RecordingPage.What(stopped));
    }

    [Fact]
    public void A_recording_of_nothing_says_that_nothing_can_be_said()
    {
        var page = RecordingPage.Write(Ask(Write("empty.pcapng", [])));
        Assert.DoesNotContain("Nothing wrong", page, StringComparison.Ordinal);
        Assert.Contains("so nothing can be said", page, StringComparison.Ordinal);
    }

    [Fact]
    public void A_cut_recording_is_told_with_what_there_is()
    {
        var path = Write("cut.pcapng", Steady(1, 1, 0, 20));
        using (var file = File.OpenWrite(path))
        {
            file.SetLength(file.Length / 2);
        }

        var answer = Ask(path);
        Assert.InRange(answer.Seconds, 9, 11);
        Assert.Contains("cut.pcapng", Assert.Single(answer.Problems), StringComparison.Ordinal);
        Assert.Empty(answer.Findings);
    }
}
