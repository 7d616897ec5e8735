namespace StageView.Rig.Tests.Gdtf;

/// <summary>Each rule by its name, so that a run lists them; those that need levels are in the Stage tests' table.</summary>
public sealed class GdtfRuleTableTests
{
    public static TheoryData<string> Rules => [.. GdtfRules.All.Keys];

    public static TheoryData<string> MediaRules => [.. GdtfMediaRules.All.Keys];

    [Theory]
    [MemberData(nameof(Rules))]
    public void Rule(string name) => GdtfRules.All[name]();

    [Theory]
    [MemberData(nameof(MediaRules))]
    public void Media_rule(string name) => GdtfMediaRules.All[name]();
}
