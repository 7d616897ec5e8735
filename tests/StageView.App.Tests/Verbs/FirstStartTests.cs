using StageView.App.Starting;

namespace StageView.App.Tests.Verbs;

public sealed class FirstStartTests
{
    [Fact]
    public void Who_just_opens_the_program_sees_the_demo_or_what_was_shown_last()
    {
        Assert.Equal(["live", FirstStart.Demo, "--open"], FirstStart.Words([], byHand: true, null));
        Assert.True(File.Exists(FirstStart.Demo));
        Assert.Equal(["live", "mine.rig.jsonc", "--open"], FirstStart.Words([], byHand: true, "mine.rig.jsonc"));
        Assert.Equal([], FirstStart.Words([], byHand: false, "mine.rig.jsonc"));
    }

    [Fact]
    public void A_rig_file_alone_is_shown_and_any_other_word_is_taken_as_it_is()
    {
        using var copy = new RigCopy("one-mirror");
        Assert.Equal(["live", copy.File, "--open"], FirstStart.Words([copy.File], byHand: false, null));
        Assert.Equal(["gone.rig.jsonc"], FirstStart.Words(["gone.rig.jsonc"], byHand: true, null));
        Assert.Equal(["check"], FirstStart.Words(["check"], byHand: true, null));
        Assert.Equal(["check", copy.File], FirstStart.Words(["check", copy.File], byHand: true, null));
    }
}
