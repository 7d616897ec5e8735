namespace StageView.Live.Terms;

/// <summary>The answer to one question of the page.</summary>
/// <param name="Ok">Whether it could be done.</param>
/// <param name="Text">What was done, or why not and what to do; one line.</param>
/// <param name="Data">The answer itself, if there is one.</param>
internal sealed record Reply(bool Ok, string Text, object? Data = null)
{
    public static Reply Done(string text, object? data = null) => new(true, text, data);

    public static Reply Refuse(string why) => new(false, why);

    public static Reply NoFixture(string name) => Refuse($"the rig has no fixture named {OneLine.Of(name)}");
}
