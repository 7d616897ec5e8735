using StageView.Show.Questions;

namespace StageView.Show.Tests.Questions;

/// <summary>An answer from a moment that lacks reflections is no clean one.</summary>
public sealed class BoundsToldTests
{
    [Theory]
    [InlineData(100_000, false)]
    [InlineData(150, true)]
    public void Reflections_that_are_left_out_make_an_answer_doubtful(int most, bool doubtful)
    {
        var foundry = Path.Combine(Repo.Root, "scenes", "foundry");
        using var question = LightQuestion.Open(new LightAsked
        {
            Rig = Path.Combine(foundry, "foundry.rig.jsonc"), Capture = Path.Combine(foundry, "foundry.pcapng"), At = "18.5",
        });
        question.Source.Stage.MostBeams = most;
        var told = new List<string>();
        var moment = question.Moment(told.Add);
        Assert.Equal(doubtful, moment.Beams.Length == most);
        Assert.Equal(doubtful, question.Doubtful);
        Assert.Equal(doubtful, told.Exists(t => t.Contains("light is missing", StringComparison.Ordinal)));
    }
}
