namespace StageView.Wine;

/// <summary>All of them share a prefix, one after the other.</summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class PrefixGroup : ICollectionFixture<Prefix>, ICollectionFixture<Browser>
{
    public const string Name = "wine";
}
