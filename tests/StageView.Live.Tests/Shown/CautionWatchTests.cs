using StageView.Live.Shown;

namespace StageView.Live.Tests.Shown;

public sealed class CautionWatchTests
{
    /// <summary>At most a tenth of one core, however long a look takes.</summary>
    [Theory]
    [InlineData(0, 2)]
    [InlineData(.1, 2)]
    [InlineData(.2, 2)]
    [InlineData(1.5, 15)]
    [InlineData(16, 160)]
    public void Looks_that_take_long_are_done_less_often(double took, double pause) =>
        Assert.Equal(pause, CautionWatch.Pause(TimeSpan.FromSeconds(took)).TotalSeconds, 1e-6);
}
