package org.fieldwright.app;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.tngtech.archunit.core.importer.ImportOption.DoNotIncludeTests;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;

/** The command line and the server are two doors to the same services. */
@AnalyzeClasses(packages = "org.fieldwright.app", importOptions = DoNotIncludeTests.class)
class AppFloorsTest {

  /** What a door needs from an adapter, a service gives it. */
  @ArchTest
  static final ArchRule DOORS_CALL_ONLY_SERVICES =
      noClasses()
          .that()
          .resideInAnyPackage("org.fieldwright.app.cli..", "org.fieldwright.app.server..")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("org.fieldwright.adapters..")
          .allowEmptyShould(true);

  @ArchTest
  static final ArchRule SERVICES_KNOW_NO_DOOR =
      noClasses()
          .that()
          .resideOutsideOfPackages("org.fieldwright.app.cli..", "org.fieldwright.app.server..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage(
              "org.fieldwright.app.cli..", "org.fieldwright.app.server..", "picocli..");

  @ArchTest
  static final ArchRule DOORS_DO_NOT_KNOW_EACH_OTHER =
      noClasses()
          .that()
          .resideInAPackage("org.fieldwright.app.server..")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("org.fieldwright.app.cli..")
          .allowEmptyShould(true);
}
