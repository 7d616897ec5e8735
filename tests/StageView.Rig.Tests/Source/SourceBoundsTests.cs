using System.Text;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Source;

/// <summary>JSON that is made to be too much is one error with its line and the bound.</summary>
public sealed class SourceBoundsTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void A_million_keys_are_refused_at_the_first_one_too_many()
    {
        var text = new StringBuilder("{\n");
        for (var i = 0; i < 1_000_000; i++)
        {
            text.Append("\"k").Append(i).Append("\":1,\n");
        }

        var problem = One(text.Append('}').ToString(), out var budget);
        Assert.Equal((65_538, "an object with more than 65536 keys"), (problem.Line, problem.Text));
        Assert.InRange(budget.Values, 65_536, 65_600);
    }

    [Fact]
    public void Values_are_counted_over_all_files()
    {
        var problem = One("[" + string.Concat(Enumerable.Repeat("0,\n", 1_600_000)) + "0]", out var budget);
        Assert.Contains("more than 1500000 values", problem.Text, StringComparison.Ordinal);
        Assert.Equal((1_500_000, "$[1499999]"), (problem.Line, problem.Path));
        Assert.Equal(SourceBudget.MaxValues + 1, budget.Values);
    }

    [Fact]
    public void A_text_without_end_is_refused_by_its_length() =>
        Assert.Equal("a text of 70000 bytes: at most 65536 are read", One($"{{ \"name\": \"{new string('a', 70_000)}\" }}", out _).Text);

    [Fact]
    public void Unknown_keys_beyond_what_is_listed_are_only_counted()
    {
        var problems = _temp.Refused("{" + string.Join(',', Enumerable.Range(0, 3000).Select(i => $"\"k{i}\":1")) + "}");
        Assert.Equal(501, problems.Count);
        Assert.Equal("2500 further problems not listed", problems[^1].Text);
    }

    [Fact]
    public void The_hint_of_a_problem_that_nobody_reads_is_not_looked_for()
    {
        var problems = new ProblemList();
        var node = new SourceNode("a", 1, SourceKind.Null, null, null, 0);
        var asked = 0;
        for (var i = 0; i < 600; i++)
        {
            problems.Error(node, $"no such thing {++asked}");
        }

        Assert.Equal((500, 600), (asked, problems.Errors));
    }

    /// <summary>Reading the device itself would never end.</summary>
    [Fact]
    public void A_device_behind_a_link_is_not_opened()
    {
        Assert.SkipUnless(File.Exists("/dev/zero"), "needs a device that never ends");
        var link = Path.Combine(_temp.Folder, "zero.rig.jsonc");
        File.CreateSymbolicLink(link, "/dev/zero");
        Assert.False(RigLoader.TryLoad(link, out _, out var problems));
        Assert.Contains("a pipe or a device", Assert.Single(problems).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_link_to_a_file_is_read_whole()
    {
        var file = _temp.Write("b.rig.jsonc", "{ \"name\": \"behind a link\" }");
        var link = Path.Combine(_temp.Folder, "l.rig.jsonc");
        File.CreateSymbolicLink(link, file);
        Assert.True(RigLoader.TryLoad(link, out var rig, out _));
        Assert.Equal("behind a link", rig.Name);
    }

    private static RigProblem One(string text, out SourceBudget budget)
    {
        var problems = new ProblemList();
        Assert.Null(SourceParser.TryParse(Encoding.UTF8.GetBytes(text), "a.jsonc", problems));
        budget = problems.Budget;
        return Assert.Single(problems.ToList());
    }
}
