using StageView.Live.Shown;
using StageView.Show.Cautions;
using StageView.Show.Rigs;

namespace StageView.Live.Tests.Shown;

public sealed class CautionLinesTests
{
    // What is not shown is counted, never dropped.
    [Fact]
    public void Rows_beyond_the_most_are_counted()
    {
        var rig = RigFiles.Open(Repo.File("scenes", "one-mirror", "one-mirror.rig.jsonc"));
        var answer = new CautionsQuestion(rig).Answer() with
        {
            Strobes = [.. Enumerable.Range(0, CautionLines.Most + 7).Select(i => new StrobeFound("spot", 0, "", 9, i, i + 1))],
        };
        var state = CautionLines.OfCapture(rig, answer, "a.pcapng");
        Assert.Equal((CautionLines.Most, 7), (state.Rows.Count, state.More));
        Assert.All(state.Rows, r => Assert.True(r.CanSeek && !r.Now));
    }
}
