using System.Text.Json;
using StageView.Live.Night;
using StageView.Live.Shown;
using StageView.Show.Cautions;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Wire.Capture;

namespace StageView.Live.Tests.Shown;

public sealed class CautionScanTests : IDisposable
{
    private readonly RigCopy _copy = new("foundry");

    public void Dispose() => _copy.Dispose();

    /// <summary>Without history, on one core: the same rows as of a show that keeps all of it and uses every core. Four seconds around the mirrors.</summary>
    [Fact]
    public async Task A_look_through_a_capture_finds_what_the_verb_finds()
    {
        var rig = RigFiles.Open(_copy.File);
        var file = Path.Combine(_copy.Folder, "part.pcapng");
        using (var writer = new PcapngWriter(File.Create(file), DateTimeOffset.UnixEpoch.AddYears(50)))
        {
            foreach (var d in CaptureReader.Read(Path.Combine(_copy.Folder, "foundry.pcapng")).Where(d => d.At.TotalSeconds is > 16 and < 20))
            {
                writer.Write(d.At - TimeSpan.FromSeconds(16), d.From, d.To, d.Payload.Span);
            }
        }

        using var scan = new CautionScan(new NightJournal(TimeProvider.System), () => { });
        scan.Start(rig, file);
        while (scan.State is not { Running: false })
        {
            await Task.Delay(50, TestContext.Current.CancellationToken);
        }

        Assert.Null(scan.State.Trouble);
        using var show = new CaptureShow(rig, file);
        var search = new CautionsQuestion(rig);
        var end = show.End();
        foreach (var _ in CautionsWalk.Through(search, show,
            Enumerable.Range(0, (int)Math.Ceiling(end.TotalSeconds / .5) + 1).Select(i => TimeSpan.FromSeconds(Math.Min(i * .5, end.TotalSeconds))).Distinct()))
        {
        }

        var rows = scan.FoundIn(file, rig)!.Rows;
        Assert.NotEmpty(rows);
        Assert.Equal(JsonSerializer.Serialize(CautionLines.OfCapture(rig, search.Answer(), "part.pcapng").Rows), JsonSerializer.Serialize(rows));
    }
}
