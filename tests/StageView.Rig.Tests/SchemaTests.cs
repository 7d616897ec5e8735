namespace StageView.Rig.Tests;

public sealed class SchemaTests
{
    /// <summary>Run with STAGEVIEW_WRITE_SCHEMA=1 to write the files anew after a key was added.</summary>
    [Fact]
    public void Committed_schemas_are_those_of_the_key_tables()
    {
        foreach (var name in SchemaFiles.Names)
        {
            var path = Checkout.Path("assets", "schema", name);
            var made = SchemaFiles.Write(name);
            if (Environment.GetEnvironmentVariable("STAGEVIEW_WRITE_SCHEMA") == "1")
            {
                File.WriteAllText(path, made);
            }

            Assert.True(File.Exists(path), $"{path} is missing: run this test with STAGEVIEW_WRITE_SCHEMA=1");
            Assert.Equal(made, File.ReadAllText(path));
        }
    }
}
